//! A PostgreSQL of the test's own: a temporary folder, a free loopback port, gone afterwards.

use crate::folder::Folder;
use crate::place::{Place, run};
use sqlx::{AssertSqlSafe, Connection, Executor, PgConnection};
use std::io::Write;
use std::net::{Ipv4Addr, TcpListener};
use std::os::unix::fs::{MetadataExt, chown};
use std::os::unix::process::CommandExt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The user and group "nobody", under whom the server runs if the test runs as root, which it
/// refuses to serve.
const NOBODY: u32 = 65_534;

/// A running server.
pub struct Server {
    programs: PathBuf,
    folder: Folder,
    port: u16,
    as_nobody: bool,
}

impl Server {
    /// Starts a server; `None`, and a line that says so, where PostgreSQL is not installed.
    pub fn start() -> Option<Self> {
        let Some(programs) = programs() else {
            say("PostgreSQL was NOT tested: no server programs in /usr/lib/postgresql/*/bin");
            return None;
        };
        let folder = Folder::new("postgres");
        let as_nobody = std::fs::metadata(folder.path()).unwrap().uid() == 0;
        if as_nobody {
            chown(folder.path(), Some(NOBODY), Some(NOBODY)).unwrap();
        }
        let mut server = Self { programs, folder, port: 0, as_nobody };
        server.call("initdb", &["--auth=trust", "--username=shop", "--encoding=UTF8", "--no-sync"]);
        // Another process may take the port between our look and the server's start.
        for _ in 0..3 {
            server.port = free_port();
            if server.try_start() {
                return Some(server);
            }
        }
        let log = std::fs::read_to_string(server.folder.path().join("log")).unwrap_or_default();
        panic!("PostgreSQL does not start:\n{log}");
    }

    fn try_start(&self) -> bool {
        let options = format!(
            "-c listen_addresses=127.0.0.1 -c port={} -c unix_socket_directories='' -c fsync=off",
            self.port
        );
        let log = self.folder.path().join("log");
        let arguments = ["-w", "-t", "60", "-o", &options, "-l", log.to_str().unwrap(), "start"];
        self.command("pg_ctl", &arguments).status().unwrap().success()
    }

    fn call(&self, program: &str, arguments: &[&str]) {
        let output = self.command(program, arguments).stderr(Stdio::piped()).output().unwrap();
        let said = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{program}: {said}");
    }

    fn command(&self, program: &str, arguments: &[&str]) -> Command {
        let mut command = Command::new(self.programs.join(program));
        command.args(arguments).env("PGDATA", self.folder.path().join("data"));
        command.current_dir(self.folder.path()).stdout(Stdio::null());
        if self.as_nobody {
            command.uid(NOBODY).gid(NOBODY);
        }
        command
    }

    /// An empty database of its own.
    pub fn fresh_database(&self, name: &str) -> Place {
        let address =
            |database: &str| format!("postgres://shop@127.0.0.1:{}/{database}", self.port);
        run(async {
            let mut connection = PgConnection::connect(&address("postgres")).await.unwrap();
            let create = format!("create database {name}");
            connection.execute(AssertSqlSafe(create)).await.unwrap();
        });
        Place::Postgres(address(name))
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.command("pg_ctl", &["-m", "immediate", "stop"]).status();
    }
}

/// Says a line past the test runner's capture; `.config/nextest.toml` lets it through as well.
pub fn say(line: &str) {
    let _ = writeln!(std::io::stderr(), "{line}");
}

/// The folder of the newest server's programs.
fn programs() -> Option<PathBuf> {
    let versions = std::fs::read_dir("/usr/lib/postgresql").ok()?;
    let folders = versions.filter_map(|v| Some(v.ok()?.path().join("bin")));
    let complete =
        |f: &PathBuf| ["initdb", "pg_ctl", "postgres"].iter().all(|p| f.join(p).exists());
    let number = |f: &PathBuf| -> u32 {
        let version = f.parent().and_then(Path::file_name).unwrap_or_default();
        version.to_string_lossy().parse().unwrap_or(0)
    };
    folders.filter(complete).max_by_key(number)
}

fn free_port() -> u16 {
    TcpListener::bind((Ipv4Addr::LOCALHOST, 0)).unwrap().local_addr().unwrap().port()
}
