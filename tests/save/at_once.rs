//! Two programs at one decisions file, and one that is killed.

use std::process::Stdio;
use std::time::Duration;

use spanyard::save::{Lock, NotLocked};

use super::{Folder, said};

const WEEK: [&str; 2] = ["--decisions", "week.toml"];

#[test]
fn of_two_decisions_at_once_that_contradict_each_other_one_is_refused() {
    let folder = Folder::new("at-once");
    for round in 0..8 {
        let _ = std::fs::remove_file(folder.path("week.toml"));
        let start = |more: &[&str]| {
            let mut run = folder.command("decide", more);
            run.args(WEEK).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap()
        };
        let sold = start(&["sold", "car=UD-2"]);
        let bought = start(&["bought", "car=UD-2", "price_usd=7000"]);
        let (sold, bought) = (sold.wait_with_output().unwrap(), bought.wait_with_output().unwrap());
        let codes = [sold.status.code(), bought.status.code()];
        assert!(codes.contains(&Some(0)) && codes.contains(&Some(2)), "{codes:?}, round {round}");
        let text = folder.read("week.toml");
        let entries = text.matches("[[").count();
        assert_eq!(entries, 1, "{text}");
    }
}

#[test]
fn decisions_at_once_that_agree_are_all_kept() {
    let folder = Folder::new("all-kept");
    let cars = ["UD-2", "UD-1 count=3", "LQ-1 count=4"];
    let running = cars.map(|car| {
        let words = format!("sold car={car}");
        let mut run = folder.command("decide", &words.split(' ').collect::<Vec<_>>());
        run.args(WEEK).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap()
    });
    for child in running {
        let output = child.wait_with_output().unwrap();
        assert_eq!(output.status.code(), Some(0), "{}", said(&output));
    }
    let text = folder.read("week.toml");
    assert_eq!(text.matches("[[sold]]").count(), cars.len(), "{text}");
}

#[test]
fn a_lock_keeps_others_out_until_it_is_dropped() {
    let folder = Folder::new("lock");
    let path = folder.path("week.toml");
    let held = Lock::take(&path, Duration::ZERO).unwrap();
    let second = Lock::take(&path, Duration::from_millis(50));
    assert!(matches!(second, Err(NotLocked::Busy(_))), "{second:?}");
    drop(held);
    Lock::take(&path, Duration::ZERO).unwrap();
}

#[test]
fn a_program_killed_at_any_moment_leaves_a_decisions_file_that_can_be_read() {
    let folder = Folder::new("killed");
    folder.write("week.toml", "# Ours.\n".to_owned() + &"# A long history.\n".repeat(10_000));
    let before = folder.read("week.toml");
    for round in 0..30 {
        let mut run = folder.command("decide", &["sold", "car=UD-2"]);
        let mut child = run.args(WEEK).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        std::thread::sleep(Duration::from_millis(round));
        let _ = child.kill();
        child.wait().unwrap();
        let text = folder.read("week.toml");
        let new = text.strip_prefix(&before).unwrap_or_else(|| panic!("torn in round {round}"));
        assert!(new.is_empty() || new.ends_with("car = \"UD-2\"\n"), "{new:?}");
        folder.write("week.toml", &before);
    }
    // A trial and a file half written at most, which the next decision writes over.
    let left = folder.names().into_iter().filter(|name| name.ends_with(".tmp")).count();
    assert!(left <= 2, "{:?}", folder.names());
    assert_eq!(
        folder.run("decide", &["sold", "car=UD-2", WEEK[0], WEEK[1]]).status.code(),
        Some(0)
    );
    assert!(!folder.names().iter().any(|name| name.ends_with(".tmp")));
}

#[test]
fn what_a_stopped_program_left_beside_a_file_goes_with_the_next_writing() {
    use spanyard::save::{RealDisk, save};
    let folder = Folder::new("left-over");
    let hour_ago = std::time::SystemTime::now() - Duration::from_secs(3600);
    let leave = |name: &str| {
        let path = folder.path(name);
        std::fs::write(&path, "half").unwrap();
        std::fs::File::options().write(true).open(&path).unwrap().set_modified(hour_ago).unwrap();
        path
    };
    let stopped = leave(".plan.html.4711.tmp");
    let others =
        [".plan.html.tmp", ".plan.htm.4711.tmp", ".plan.html.x1.tmp", "plan.html.4711.tmp"];
    let others = others.map(leave);
    let at_work = folder.path(".plan.html.4712.tmp");
    std::fs::write(&at_work, "half").unwrap();
    save(&RealDisk, &folder.path("plan.html"), b"whole").unwrap();
    assert!(!stopped.exists());
    assert!(at_work.exists() && others.iter().all(|path| path.exists()));
    assert_eq!(folder.read("plan.html"), "whole");
}
