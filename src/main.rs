//! The `spanyard` command: parses, runs, prints, and turns the outcome into an exit code.

mod cli;

use std::io::{self, Write};
use std::process::ExitCode;

use clap::Parser;

fn main() -> ExitCode {
    let answer = cli::run(&cli::Cli::parse());
    // Warnings first: on a terminal the result then stands last, where it is read.
    let printed = print(&mut io::stderr().lock(), &answer.stderr)
        .and_then(|()| print(&mut io::stdout().lock(), &answer.stdout));
    match printed {
        Ok(()) => answer.exit.into(),
        // Whoever read the result has seen enough of it, as `head` has.
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => answer.exit.into(),
        Err(error) => {
            // Where even this cannot be said, the exit code says it.
            let _ = print(
                &mut io::stderr().lock(),
                &format!("error: the result cannot be written: {error}\n"),
            );
            cli::Exit::Input.into()
        }
    }
}

fn print(to: &mut impl Write, text: &str) -> io::Result<()> {
    to.write_all(text.as_bytes())?;
    to.flush()
}
