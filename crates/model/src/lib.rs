//! What the shop has: machine, tools, sheets, materials; the setup of one run; and how the TOML
//! files of a shop folder are read. Text in, values out: no file is opened here.
//!
//! Lengths mm, speeds mm/min, accelerations mm/s², pressures Pa, times s unless a name says
//! otherwise. Machine coordinates are the axis positions of the reference head without a tool.

pub mod dialect;
pub mod figure;
pub mod machine;
pub mod material;
pub mod settings;
pub mod setup;
pub mod sheet;
pub mod shop;
pub mod tool;
pub mod vacuum;

pub use dialect::{Action, Dialect, MappedCode};
pub use figure::Figure;
pub use machine::{Axis, Head, HeadKind, Machine, Stop};
pub use material::Material;
pub use settings::SettingIndex;
pub use setup::Setup;
pub use sheet::Sheet;
pub use shop::{Shop, ShopError, ShopFile};
pub use tool::{Tool, ToolKind, ToolPlace, ToolType};
