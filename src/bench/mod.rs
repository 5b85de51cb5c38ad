//! The bench page: the shop from a phone, a wall tablet or the office computer. Requests come in, pages go out.
//!
//! It reads through [`crate::audit`] and writes through [`crate::store`], as the command line does, and knows no rule of its own.
//! [`app`] is the whole site as a function; the listener, the clock and the stop signal come from outside.

mod address;
mod assets;
mod buttons;
mod call;
mod certificate;
mod device;
mod effect;
mod entry;
mod frame;
mod front;
mod guard;
mod heavy;
mod hold;
mod hosts;
mod pages;
mod pairing;
mod photo;
mod problem;
mod queue;
mod received;
mod recent;
mod role;
mod round_draft;
mod routes;
mod secret;
mod sent;
mod server;
mod settle;
mod state;
mod understood;
mod when;
mod write;

pub use device::{Device, DeviceFile};
pub use hosts::HostRule;
pub use pairing::Pairing;
pub use role::Role;
pub use routes::{ROUTES, RoleNeeded, app};
pub use server::{BenchOptions, NotServed, serve};
pub use state::{Bench, BenchClock, DeviceAccess};

#[cfg(test)]
#[path = "../../tests/units/bench_app.rs"]
mod app_tests;
