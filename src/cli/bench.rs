//! `sandarac bench`: the page for a phone, a wall tablet or the office computer.

use super::open::{self, WRITTEN};
use super::{Ended, Failure, style};
use crate::bench::{BenchOptions, DeviceFile, NotServed, Role, serve};
use crate::text::clean;
use clap::Args;
use std::net::IpAddr;
use std::path::PathBuf;

/// `bench`.
#[derive(Debug, Args)]
#[command(after_help = "On this computer only: sandarac bench my-shop\n\
    For phones on the shop's network: sandarac bench my-shop --lan\n\
    Example: sandarac bench my-shop --devices\n\
    Stop it with Ctrl-C. An entry that the page calls logged is in log.csv.")]
pub struct BenchArgs {
    /// Shop folder. The default is this folder
    pub shop: Option<PathBuf>,
    /// Port to listen on; 0 takes a free one
    #[arg(long, default_value_t = 8137, value_name = "PORT")]
    pub port: u16,
    /// Let paired devices of the local network in, over an encrypted connection
    #[arg(long)]
    pub lan: bool,
    /// With --lan: do not encrypt the connection
    #[arg(long, requires = "lan")]
    pub http: bool,
    /// With --lan: this computer's address, if the program finds the wrong one
    #[arg(long, requires = "lan", value_name = "ADDRESS")]
    pub address: Option<IpAddr>,
    /// With --lan: the role that the first code gives. The first device of a shop is an owner
    #[arg(long, requires = "lan", value_name = "ROLE", value_parser = role)]
    pub role: Option<Role>,
    /// Who works at this computer, for the entries made here
    #[arg(long, value_name = "NAME", conflicts_with = "lan")]
    pub by: Option<String>,
    /// List the paired devices, and stop
    #[arg(long, conflicts_with_all = ["lan", "by"])]
    pub devices: bool,
    /// Remove a paired device by its number in the list, and stop
    #[arg(long, value_name = "NUMBER", conflicts_with_all = ["lan", "by"])]
    pub remove: Option<usize>,
}

fn role(text: &str) -> Result<Role, String> {
    Role::parse(text).ok_or_else(|| "write guest, maker or owner".to_string())
}

/// Serves the page until it is stopped, or looks after the list of devices.
pub fn run(args: &BenchArgs) -> Result<Ended, Failure> {
    let folder = open::folder(args.shop.as_deref())?;
    if args.devices || args.remove.is_some() {
        return devices(args, &DeviceFile::in_folder(&folder));
    }
    let options = BenchOptions {
        folder,
        port: args.port,
        lan: args.lan,
        plain: args.http,
        address: args.address,
        by: args.by.clone().unwrap_or_default(),
        role: args.role,
    };
    // A closed pipe does not stop the server: phones still need it.
    let say = |text: &str| {
        let _ = style::print(&format!("{text}\n"));
    };
    serve(&options, say).map_err(failure)?;
    Ok(Ended::Well)
}

fn devices(args: &BenchArgs, file: &DeviceFile) -> Result<Ended, Failure> {
    let unread = |fault: std::io::Error| {
        Failure::refused(
            format!("The list of devices cannot be used: {fault}."),
            "Check that you may read and write the folder .sandarac/bench of the shop.",
            WRITTEN,
        )
    };
    if let Some(number) = args.remove {
        let removed = file.remove(number).map_err(unread)?;
        let Some(device) = removed else {
            return Err(Failure::refused(
                format!("There is no device number {number}."),
                "List them with --devices.",
                WRITTEN,
            ));
        };
        style::print(&format!("removed {}\n", clean(&device.name)))?;
        return Ok(Ended::Well);
    }
    let list = file.read().map_err(unread)?;
    if list.is_empty() {
        style::print("No device is paired.\n")?;
    }
    for (at, device) in list.iter().enumerate() {
        let person = match device.person.as_str() {
            "" => String::new(),
            person => format!(", {}", clean(person)),
        };
        let until = device
            .until
            .map_or_else(String::new, |until| format!(", until {until}"));
        style::print(&format!(
            "{}. {}, {}{person}, paired {}{until}\n",
            at + 1,
            clean(&device.name),
            device.role.word(),
            device.paired
        ))?;
    }
    Ok(Ended::Well)
}

const SERVED: &str = "Nothing was served.";

fn failure(not: NotServed) -> Failure {
    let (wrong, fix) = match not {
        NotServed::Shop(not) => return open::failure(not, SERVED),
        NotServed::Port(port, why) => (
            format!("Port {port} cannot be used: {why}."),
            "Stop the program that uses it, or choose another one with --port.".to_string(),
        ),
        NotServed::Certificate(why) => (
            format!("The connection cannot be encrypted: {why}."),
            "Check that you may write the folder .sandarac/bench of the shop.".to_string(),
        ),
        NotServed::NoNetwork => (
            "This computer has no address on a network.".to_string(),
            "Connect it, or name its address with --address.".to_string(),
        ),
        NotServed::Devices(why) => (
            format!("{}.", why.trim_end_matches('.')),
            "Check the file .sandarac/bench/devices of the shop.".to_string(),
        ),
        NotServed::System(why) => (
            format!("The server failed: {why}."),
            "Try again.".to_string(),
        ),
    };
    Failure::refused(wrong, fix, SERVED)
}
