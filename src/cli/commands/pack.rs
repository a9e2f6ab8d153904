//! `fixtally pack`: everything in one file, for a place without signal.

use super::{Exit, Failure, Session};
use crate::base::problem::{did_you_mean, nearest};
use crate::cli::Desk;
use crate::cli::desk::packed::pictures;
use crate::cli::write;
use crate::pack::article::Pictures;
use crate::pack::carried::Carried;
use crate::pack::choice::Wish;
use crate::pack::content::Source;
use crate::pack::page::PackError;
use crate::pack::{page, sign};
use crate::view::numbers::counted;
use serde_json::json;
use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Write one file that answers without a network
///
/// The file is a page that any browser of the last years opens, also from a memory stick in aeroplane
/// mode. It ranks as `ask` does on this day, shows the articles, keeps what was tried on site, and
/// loads nothing. It holds no ticket and no caller's word that fewer than three tickets used.
///
/// `--devices` and `--areas` choose what goes in; dangers always do. With `--for ROLE` the steps of
/// work that this role may not do are left out. `--print` writes a booklet for paper instead.
///
/// `--sign` signs the file with an Ed25519 key in PEM, as `openssl genpkey -algorithm ed25519` makes
/// one; `--verify FILE --key PUB` tells whether a pack is unchanged since. Exit code 1: it is not.
///
/// Example: `fixtally pack -o site.html --for installer --devices post-22`.
#[derive(Debug, clap::Args)]
pub(crate) struct Args {
    /// The file to write
    #[arg(short, long, value_name = "FILE", required_unless_present = "verify")]
    output: Option<PathBuf>,
    /// For whom: steps that this role may not do are left out
    #[arg(long = "for", value_name = "ROLE")]
    role: Option<String>,
    /// Only what is about these devices, by their ids in `kb.toml`
    #[arg(long, value_name = "D", value_delimiter = ',')]
    devices: Vec<String>,
    /// Only these areas, the folders below `articles/`
    #[arg(long, value_name = "AREA", value_delimiter = ',')]
    areas: Vec<String>,
    /// Leave pictures out; their words stand in their place
    #[arg(long)]
    no_pictures: bool,
    /// A booklet for paper instead of a page that answers
    #[arg(long)]
    print: bool,
    /// Sign with this private key
    #[arg(long, value_name = "KEY")]
    sign: Option<PathBuf>,
    /// Tell whether this pack is as it was signed
    #[arg(long, value_name = "FILE", requires = "key", conflicts_with_all = ["output", "role", "devices", "areas", "no_pictures", "print", "sign"])]
    verify: Option<PathBuf>,
    /// The public key of who signed it
    #[arg(long, value_name = "PUB", requires = "verify")]
    key: Option<PathBuf>,
}

pub(super) fn run(args: &Args, session: &Session) -> Result<Exit, Failure> {
    match (&args.verify, &args.key, &args.output) {
        (Some(pack), Some(key), _) => verify(pack, key, session),
        (_, _, Some(output)) => write(args, output, session),
        _ => Err(Failure::new("expected a file to write: `-o FILE`")),
    }
}

fn verify(pack: &Path, key: &Path, session: &Session) -> Result<Exit, Failure> {
    let key_text = read_text(key)?;
    let bytes = std::fs::read(pack).map_err(|e| Failure::file("read", pack, &e))?;
    let found = sign::verify(&bytes, &key_text);
    if found == Err(sign::SignError::NoPublicKey) {
        return Err(Failure::new(format!(
            "`{}` is no public Ed25519 key in PEM",
            key.display()
        ))
        .hint("openssl pkey -in KEY -pubout -out PUB"));
    }
    if session.json {
        session.print_json(&json!({
            "signed": found.is_ok(),
            "why": found.as_ref().err().map(ToString::to_string),
        }))?;
    } else {
        let mut out = session.out();
        match &found {
            Ok(()) => writeln!(out, "Signed with this key and unchanged since.")?,
            Err(why) => writeln!(out, "Do not trust it: {why}.")?,
        }
    }
    Ok(Exit::findings_if(found.is_err()))
}

fn write(args: &Args, output: &Path, session: &Session) -> Result<Exit, Failure> {
    let key = args.sign.as_deref().map(read_text).transpose()?;
    let desk = Desk::open(session)?;
    let wish = wish(args, &desk)?;
    let about = desk.about();
    let pictures = if args.no_pictures {
        Pictures::new()
    } else {
        pictures(session, &desk.catalog)
    };
    let bags = desk.texts(session)?;
    let source = desk.pack_source(&about, &bags);
    let made = make(args.print, &source, &wish, &pictures)
        .map_err(|e| Failure::because("cannot make the pack", &e))?;
    let (mut pack, carried) = made;
    if let Some(key) = key {
        pack = sign::sign(&pack, &key).map_err(|e| {
            Failure::because("cannot sign the pack", &e)
                .hint("openssl genpkey -algorithm ed25519 -out KEY")
        })?;
    }
    write::over(output, pack.as_bytes()).map_err(|e| Failure::file("write", output, &e))?;
    let articles = wish.choose(&desk.catalog).articles.len();
    if session.json {
        let sizes = (carried.iter().map(Carried::sizes))
            .collect::<Result<Vec<_>, _>>()
            .map_err(|e| Failure::because("cannot weigh the pack", &e))?;
        let parts: Vec<_> = (sizes.iter().flatten())
            .map(|s| json!({"part": s.part, "bytes": s.bytes, "packed": s.packed}))
            .collect();
        session.print_json(&json!({
            "file": output.display().to_string(),
            "bytes": pack.len(),
            "articles": articles,
            "fingerprint": about.fingerprint,
            "as_of": about.as_of,
            "signed": args.sign.is_some(),
            "parts": parts,
        }))?;
    } else {
        writeln!(
            session.out(),
            "{}: {}, {} KB, as of {}.",
            output.display(),
            counted(articles as u64, "article"),
            pack.len().div_ceil(1024),
            about.as_of
        )?;
    }
    Ok(Exit::Done)
}

/// The file, and what it carries packed; a booklet carries nothing.
fn make(
    for_paper: bool,
    source: &Source<'_>,
    wish: &Wish,
    pictures: &Pictures,
) -> Result<(String, Option<Carried>), PackError> {
    if for_paper {
        return Ok((page::booklet(source, wish, pictures), None));
    }
    let carried = page::carried(source, wish, pictures)?;
    Ok((page::page(source, wish, &carried)?, Some(carried)))
}

fn wish(args: &Args, desk: &Desk) -> Result<Wish, Failure> {
    let names = desk.names();
    let areas: BTreeSet<&str> = (desk.catalog.articles.values())
        .map(|a| a.area.as_str())
        .collect();
    for area in &args.areas {
        if !areas.contains(area.as_str()) {
            let failure = Failure::new(format!("there is no area `{area}` below `articles/`"));
            let all: Vec<&str> = areas.iter().copied().collect();
            let hint = did_you_mean(area, nearest(area, all.iter().copied()))
                .unwrap_or_else(|| format!("one of `{}`", all.join("`, `")));
            return Err(failure.hint(hint));
        }
    }
    Ok(Wish {
        role: args.role.as_deref().map(|r| names.role(r)).transpose()?,
        devices: (args.devices.iter())
            .map(|d| names.device(d))
            .collect::<Result<_, _>>()?,
        areas: args.areas.clone(),
    })
}

fn read_text(path: &Path) -> Result<String, Failure> {
    std::fs::read_to_string(path).map_err(|e| Failure::file("read", path, &e))
}
