//! The address at which a phone reaches this computer.

use std::net::{IpAddr, Ipv4Addr, SocketAddr, UdpSocket};

/// An address far away, from the block for documentation (RFC 5737): a socket that is turned to it sends nothing.
const FAR: (Ipv4Addr, u16) = (Ipv4Addr::new(192, 0, 2, 1), 9);

/// The address from which this computer speaks to its network, if it has one.
pub fn own_address() -> Option<IpAddr> {
    let socket = UdpSocket::bind((Ipv4Addr::UNSPECIFIED, 0)).ok()?;
    socket.connect(SocketAddr::from(FAR)).ok()?;
    let own = socket.local_addr().ok()?.ip();
    (!own.is_unspecified()).then_some(own)
}

/// The name of this computer on its network, where the system tells it.
pub fn own_names() -> Vec<String> {
    let told = std::fs::read_to_string("/etc/hostname").ok();
    let told = told.or_else(|| std::env::var("HOSTNAME").ok());
    let told = told.or_else(|| std::env::var("COMPUTERNAME").ok());
    let name = told.map(|name| name.trim().to_ascii_lowercase());
    let plain = |name: &String| {
        let fine = |c: char| c.is_ascii_alphanumeric() || c == '-';
        !name.is_empty() && name.len() < 64 && name.chars().all(fine)
    };
    let name = name.filter(plain);
    name.map(|name| vec![format!("{name}.local"), name])
        .unwrap_or_default()
}
