//! The `spanyard` command: parses, runs, prints, and turns the outcome into an exit code.

mod cli;
#[cfg(feature = "desk")]
mod desk;
#[cfg(test)]
#[path = "../tests/testkit/faulty.rs"]
mod faulty;

use std::process::ExitCode;
use std::{io, panic, thread};

use anstream::stream::RawStream;
use clap::Parser;
use spanyard::read::WORKBOOK_THREAD;
use spanyard::save::RealDisk;

fn main() -> ExitCode {
    silence_workbooks();
    let answer = cli::run(&cli::Cli::parse(), &RealDisk);
    // Warnings first: on a terminal the result then stands last, where it is read.
    let printed = print(io::stderr().lock(), &answer.stderr)
        .and_then(|()| print(io::stdout().lock(), &answer.stdout));
    match printed {
        Ok(()) => answer.exit.into(),
        // Whoever read the result has seen enough of it, as `head` has.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => answer.exit.into(),
        Err(error) => {
            // Where even this cannot be said, the exit code says it.
            let said = format!("error: the result cannot be written: {error}\n");
            let _ = print(io::stderr().lock(), &said);
            cli::Exit::Input.into()
        }
    }
}

fn print(mut to: impl RawStream, text: &str) -> io::Result<()> {
    to.write_all(cli::paint::for_stream(text, &to).as_bytes())?;
    to.flush()
}

/// A workbook that breaks its reader is told as a problem of the file. The message of the panic, which
/// nothing but a hook can keep off the terminal, would only frighten; those of other threads stay.
fn silence_workbooks() {
    let usual = panic::take_hook();
    panic::set_hook(Box::new(move |about| {
        if thread::current().name() != Some(WORKBOOK_THREAD) {
            usual(about);
        }
    }));
}
