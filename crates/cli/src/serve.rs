//! `kerfwright serve`: the page on this computer.

use crate::{Outcome, input};
use anyhow::Result;
use clap::Args;
use std::net::{IpAddr, Ipv4Addr, SocketAddr};
use std::path::PathBuf;

/// Options of `serve`.
#[derive(Args)]
pub struct ServeArguments {
    /// Folder that describes the shop.
    #[arg(long, value_name = "DIR")]
    shop: PathBuf,
    /// Folder for the database.
    #[arg(long, value_name = "DIR", default_value = "kerfwright-data")]
    data: PathBuf,
    /// Port; 0 takes a free one.
    #[arg(long, default_value_t = 8270)]
    port: u16,
    /// Address to listen on; only this computer unless told otherwise.
    #[arg(long, default_value_t = IpAddr::V4(Ipv4Addr::LOCALHOST))]
    listen: IpAddr,
    /// Further name by which other stations call this computer; may be repeated.
    #[arg(long, value_name = "NAME")]
    host_name: Vec<String>,
}

/// Serves until interrupted.
pub fn run(arguments: ServeArguments) -> Result<Outcome> {
    tracing_subscriber::fmt()
        .with_env_filter(
            tracing_subscriber::EnvFilter::try_from_default_env()
                .unwrap_or_else(|_| tracing_subscriber::EnvFilter::new("warn,kw_server=info")),
        )
        .with_writer(std::io::stderr)
        .init();
    let options = kw_server::ServeOptions {
        shop: input::shop(&arguments.shop)?,
        data_folder: arguments.data,
        listen: SocketAddr::new(arguments.listen, arguments.port),
        host_names: arguments.host_name,
        limits: kw_server::Limits::default(),
    };
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build()?;
    let served = runtime.block_on(kw_server::serve(options, |address| {
        anstream::println!("Kerfwright is at http://{address}/");
        anstream::println!(
            "It advises; it never starts, stops or guards a machine. Stop with Ctrl-C."
        );
    }));
    // A check that still runs has nobody left to answer.
    runtime.shutdown_background();
    served?;
    Ok(Outcome::Fine)
}
