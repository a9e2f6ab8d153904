//! `fixtally sheet`: the web page.

use super::{Exit, Failure, Session};
use crate::cli::sheet::Warm;
use crate::sheet::{Doors, Serving, Token, serve};
use std::io::Write;
use std::net::{IpAddr, SocketAddr, TcpListener};
use std::path::{Path, PathBuf};
use std::sync::Arc;

/// Serve the web page that agents keep open during calls
///
/// One sheet of paper per case: what was said, what to do, what to ask, each on one key. Several
/// computers share one server. It listens to this machine alone. Any other address needs a token
/// (`--token-file`) and encryption: `--tls CERT KEY`, or `--behind-proxy` where a proxy on the way does
/// it. Articles that change on disk and tickets that are closed count at once. SIGTERM stops it once
/// what was accepted is done.
///
/// Example: `fixtally sheet --listen 127.0.0.1:4180`. The HTTP interface stands at `/openapi.json`,
/// figures at `/metrics`, its state at `/health`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// Where to listen; port 0 takes any free one
    #[arg(long, value_name = "ADDR", default_value = "127.0.0.1:4180")]
    listen: SocketAddr,
    /// A file whose first line is the token that every request needs
    #[arg(long, value_name = "FILE")]
    token_file: Option<PathBuf>,
    /// Certificate and key for TLS, as PEM files
    #[arg(long, num_args = 2, value_names = ["CERT", "KEY"], conflicts_with = "behind_proxy")]
    tls: Vec<PathBuf>,
    /// A proxy before this server speaks TLS
    #[arg(long)]
    behind_proxy: bool,
    /// A name by which browsers know this sheet, without a port; may be repeated
    #[arg(long = "name", value_name = "HOST")]
    names: Vec<String>,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    let doors = args.doors()?;
    log(session);
    // First, for loading takes its time, and another sheet may have the port.
    let listener = TcpListener::bind(args.listen)
        .map_err(|e| Failure::because(format!("cannot listen at {}", args.listen), &e))?;
    let scrubber = super::tickets::scrubber(session)?;
    let desk = Warm::open(session, scrubber)?;
    let address = listener
        .local_addr()
        .map_err(|e| Failure::because("cannot listen", &e))?;
    let scheme = if args.tls.is_empty() { "http" } else { "https" };
    // An address that means all addresses is none to open.
    let shown = match args.names.first() {
        Some(name) if address.ip().is_unspecified() => format!("{name}:{}", address.port()),
        _ => address.to_string(),
    };
    let with_token = doors.token.is_some();
    let ready = || {
        writeln!(session.out(), "The sheet is at {scheme}://{shown}/")?;
        session.out().flush()?;
        tracing::info!(%address, tls = !args.tls.is_empty(), token = with_token, "listening");
        Ok(())
    };
    let tls = match &args.tls[..] {
        [certificate, key] => Some((certificate.clone(), key.clone())),
        _ => None,
    };
    let serving = Serving {
        listener,
        tls,
        doors,
    };
    let desk: Arc<dyn crate::sheet::desk::Desk> = desk;
    serve(desk, serving, ready).map_err(|failed| Failure::because("the sheet stopped", &failed))?;
    Ok(Exit::Done)
}

impl Args {
    /// Who is let in; refused where others could listen or write.
    fn doors(&self) -> Result<Doors, Failure> {
        let ip = self.listen.ip();
        let encrypted = !self.tls.is_empty() || self.behind_proxy;
        if !ip.is_loopback() {
            let message = format!("{ip} can be reached from other machines");
            if self.token_file.is_none() {
                return Err(Failure::new(message).hint("add `--token-file FILE`"));
            }
            if !encrypted {
                return Err(Failure::new(format!("{message}, and nothing is encrypted"))
                    .hint("add `--tls CERT KEY`, or `--behind-proxy` where a proxy speaks TLS"));
            }
        }
        Ok(Doors {
            names: self.known_names(ip)?,
            token: self.token_file.as_deref().map(token).transpose()?,
            secure: encrypted,
        })
    }

    fn known_names(&self, ip: IpAddr) -> Result<Vec<String>, Failure> {
        let mut names: Vec<String> = self.names.iter().map(|name| name.to_lowercase()).collect();
        if ip.is_loopback() {
            names.extend(["localhost", "127.0.0.1", "[::1]"].map(str::to_owned));
        }
        if ip.is_unspecified() {
            if names.is_empty() {
                let message =
                    "browsers must not take this sheet by any name that somebody points at it";
                return Err(Failure::new(message).hint("name it: `--name sheet.example.org`"));
            }
        } else {
            names.push(match ip {
                IpAddr::V4(ip) => ip.to_string(),
                IpAddr::V6(ip) => format!("[{ip}]"),
            });
        }
        Ok(names)
    }
}

fn token(file: &Path) -> Result<Token, Failure> {
    let text = std::fs::read_to_string(file).map_err(|e| Failure::file("read", file, &e))?;
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = std::fs::metadata(file).map_or(0, |about| about.permissions().mode());
        if mode & 0o007 != 0 {
            let message = format!("everybody on this machine may read `{}`", file.display());
            return Err(Failure::new(message).hint(format!("chmod 600 {}", file.display())));
        }
    }
    Token::read(&text).ok_or_else(|| {
        Failure::new(format!(
            "the token in `{}` is shorter than 16 characters",
            file.display()
        ))
        .hint("make one: `openssl rand -hex 24`")
    })
}

/// Log lines on standard error, one JSON object each. None carries a caller's words.
fn log(session: &Session) {
    let level = if session.verbose {
        tracing::Level::DEBUG
    } else if session.quiet {
        tracing::Level::WARN
    } else {
        tracing::Level::INFO
    };
    let only_ours = tracing_subscriber::fmt()
        .json()
        .flatten_event(true)
        .with_max_level(level)
        .with_writer(std::io::stderr)
        .with_target(false);
    // A second one in the same process is not wanted; the first stays.
    let _ = only_ours.try_init();
}
