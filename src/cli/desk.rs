//! `spanyard desk`: the whole job in a browser on the user's own machine.

use std::io::{self, Write as _};
use std::path::PathBuf;

use anyhow::Context;

use super::Answer;
use crate::desk::{self, Options};

/// Arguments of `desk`.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  spanyard desk county\n  spanyard desk                 the purchase folder here, or a first look"
)]
pub struct Args {
    /// The purchase folder; without one the desk leads to the demonstration or to a new folder
    #[arg(value_name = "DIR")]
    folder: Option<PathBuf>,

    /// Listen on this port of this machine [default: a free one]
    #[arg(long, value_name = "N", default_value_t = 0, hide_default_value = true)]
    port: u16,

    /// Open no browser; the address is printed in any case
    #[arg(long)]
    no_open: bool,
}

/// Serves until Ctrl-C; a second one ends the program whatever it is at.
pub fn run(args: &Args) -> anyhow::Result<Answer> {
    let options = Options { folder: args.folder.clone(), port: args.port, browser: !args.no_open };
    let (open, stop) = desk::open(&options)?;
    // Before the address is shown, so that nobody can stop it too early.
    ctrlc::set_handler(move || {
        if stop.now() {
            std::process::exit(130);
        }
    })
    .context("cannot take Ctrl-C")?;
    let address = open.address();
    say(&format!("The desk is open, on this machine alone:\n\n  {address}\n\nCtrl-C closes it."));
    open.serve(say)?;
    Ok(Answer::done(String::new()))
}

/// Says it now, and not when the desk is closed.
fn say(words: &str) {
    // A desk goes on though nobody may hear of it.
    let mut out = io::stdout().lock();
    let _ = writeln!(out, "{words}").and_then(|()| out.flush());
}
