//! The desk: a local web page over a purchase folder. It calls what the commands call, and holds no
//! rule of the job: what it changes is a plain file of the folder, what it shows is made by `report`
//! and the stages below.
//!
//! The server runs on one thread; every request is worked on by a thread of its own, and a search by
//! another, so that the library stays as it is.

mod exchange;
#[cfg(test)]
mod faults;
mod guard;
mod job;
mod known;
mod made;
mod pages;
mod routes;
mod server;
mod state;
mod told;
mod view;

use std::net::{Ipv4Addr, SocketAddr, TcpListener};
use std::path::PathBuf;
use std::sync::Arc;
use std::thread;

use anyhow::Context;
use spanyard::save::RealDisk;
use tokio::sync::watch;

/// How the desk is opened.
pub struct Options {
    /// The purchase folder; none: the desk asks.
    pub folder: Option<PathBuf>,
    /// The port; 0 takes a free one.
    pub port: u16,
    /// Whether the default browser is opened.
    pub browser: bool,
}

/// Ends the desk.
#[derive(Clone)]
pub struct Stop(Arc<watch::Sender<bool>>);

impl Stop {
    /// Ends it now; whether that was asked for before.
    pub fn now(&self) -> bool {
        self.0.send_replace(true)
    }
}

/// A desk that listens already.
pub struct Open {
    listener: TcpListener,
    desk: Arc<state::Desk>,
    stopped: watch::Receiver<bool>,
    browser: bool,
}

/// Opens the desk, and gives what ends it.
///
/// # Errors
/// Where the folder is no purchase folder or somebody else's desk is open on it, or no port is free.
pub fn open(options: &Options) -> anyhow::Result<(Open, Stop)> {
    let listener = TcpListener::bind(SocketAddr::from((Ipv4Addr::LOCALHOST, options.port)))
        .with_context(|| format!("cannot listen on port {} of this machine", options.port))?;
    let port = listener.local_addr()?.port();
    let desk = Arc::new(state::Desk::new(options.folder.as_deref(), port, Arc::new(RealDisk))?);
    let (stop, stopped) = watch::channel(false);
    Ok((Open { listener, desk, stopped, browser: options.browser }, Stop(Arc::new(stop))))
}

impl Open {
    /// The first address, which lets one browser in.
    pub fn address(&self) -> String {
        self.desk.address()
    }

    /// Serves until it is stopped; `say` is told what a user should know.
    ///
    /// # Errors
    /// Where the system lets nothing be served.
    pub fn serve(self, say: impl Fn(&str) + Send + 'static) -> anyhow::Result<()> {
        if self.browser {
            let address = self.address();
            thread::spawn(move || {
                if open::that_detached(&address).is_err() {
                    say("no browser could be opened: open the address above yourself");
                }
            });
        }
        server::run(self.listener, &self.desk, self.stopped)
    }
}
