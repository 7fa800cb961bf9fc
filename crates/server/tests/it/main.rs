//! The server, in this process and over the loopback.
#![allow(clippy::expect_used, clippy::unwrap_used, reason = "tests may fail loudly")]

mod analyses;
mod desk;
mod document;
mod folder;
mod loopback;
mod programs;
mod protection;
mod raw;
mod routes;
mod text;
mod uploads;
