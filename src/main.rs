//! The `spanyard` command: parses, runs, prints, and turns the outcome into an exit code.

mod cli;

use std::io;
use std::process::ExitCode;

use anstream::stream::RawStream;
use clap::Parser;

fn main() -> ExitCode {
    let answer = cli::run(&cli::Cli::parse());
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
