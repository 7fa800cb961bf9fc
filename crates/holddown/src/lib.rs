//! Vacuum hold-down on a flatbed: pressures of the table's zones from pumps, pipes, the porous
//! spoilboard and its leaks; and from these the margin with which each piece stays put.
//!
//! Everything here is an estimate: no published test of part retention on porous spoilboards was
//! found. A margin under 2 at the unfavourable end calls for tabs, a skin, screws or clamps by a
//! qualified person, and the machine builder's instructions come first.
//!
//! Network quantities are SI (Pa, m, kg/s); outlines and points are mm; forces N. Pure: no files,
//! clock or environment.

pub mod air;
pub mod board;
pub mod calibrate;
pub mod flow;
pub mod friction;
pub mod layout;
pub mod network;
pub mod piece;
pub mod plan;
mod plane;
pub mod pump;
mod quadrature;
pub mod run;
pub mod transient;

pub use air::Air;
pub use board::{Board, Layer};
pub use network::{Network, NetworkError, Solution, solve};
pub use pump::{Pump, PumpCurve};
