//! The targets of `fuzz/targets.rs` under a stable toolchain: every seed and every kept case, then so
//! many mutations of them, always the same ones. `SPANYARD_FUZZ_RUNS` says how many to a target (30,
//! or what is asked for), `SPANYARD_FUZZ_FROM` where the seeds of the mutations begin, and
//! `SPANYARD_FUZZ_TARGET` names one target. A case that fails stays in target/fuzz; put it, cut short,
//! into fuzz/corpus/TARGET.
#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stderr)]

use std::io::{Cursor, Read as _, Write as _};
use std::panic::catch_unwind;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

#[path = "../fuzz/targets.rs"]
mod targets;
use targets::{TARGETS, Target};

/// Longer than this no case of a few kilobytes may take, on a busy machine and unoptimized.
const LONGEST: Duration = Duration::from_secs(30);

fn setting<T: std::str::FromStr>(name: &str, else_it_is: T) -> T {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(else_it_is)
}

/// A small generator: xorshift64*, after Vigna, from memory.
struct Rng(u64);

impl Rng {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    fn below(&mut self, most: usize) -> usize {
        (self.next() >> 16) as usize % most.max(1)
    }
}

/// Pieces that readers stumble over.
const WORDS: &[&[u8]] = &[
    b"",
    b",",
    b";",
    b"\t",
    b"\"",
    b"\"\"",
    b"\r\n",
    b"\n",
    b"\0",
    b"\x1b[2J",
    b"\xff",
    b"\xef\xbb\xbf",
    b"\xe2\x80\xae",
    b"\xc2\x9b",
    b"-",
    b"0",
    b"1e308",
    b"-9223372036854775808",
    b"18446744073709551616",
    b"NaN",
    b"inf",
    b"=1+1",
    b"9'-4 3/4\"",
    b"[[",
    b"]]",
    b"{",
    b"}",
    b"[",
    b"'''",
    b"\"\"\"",
    b"= ",
    b"null",
    b"<",
    b"</",
    b"/>",
    b"&#0;",
    b"&lol;",
    b"<!--",
    b"<![CDATA[",
    b"]]>",
    b" table:number-rows-repeated='9999999'",
    b" table:number-columns-repeated=\"16384\"",
    b"<table:table-row>",
    b"</table:table-row>",
    b"<si>",
    b"<c t=\"s\"><v>0</v></c>",
];

fn mutated(bytes: &[u8], other: &[u8], rng: &mut Rng) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..=rng.below(6) {
        let at = rng.below(bytes.len() + 1);
        let end = (at + rng.below(40)).min(bytes.len());
        match rng.below(9) {
            0 if at < bytes.len() => bytes[at] ^= 1 << rng.below(8),
            1 if at < bytes.len() => bytes[at] = rng.next() as u8,
            2 => drop(bytes.drain(at..end)),
            3 => drop(bytes.splice(at..at, WORDS[rng.below(WORDS.len())].iter().copied())),
            4 => drop(bytes.splice(at..end, WORDS[rng.below(WORDS.len())].iter().copied())),
            5 => {
                let piece = bytes[at..end].to_vec();
                let to = rng.below(bytes.len() + 1);
                drop(bytes.splice(to..to, piece.repeat(1 + rng.below(8))));
            }
            6 => {
                let from = rng.below(other.len() + 1);
                let to = (from + rng.below(200)).min(other.len());
                drop(bytes.splice(at..end, other[from..to].iter().copied()));
            }
            7 if rng.below(4) == 0 => bytes.truncate(at),
            _ => {
                let digits: Vec<usize> =
                    (0..bytes.len()).filter(|at| bytes[*at].is_ascii_digit()).collect();
                if let Some(at) = digits.get(rng.below(digits.len())) {
                    bytes[*at] = b'0' + rng.below(10) as u8;
                }
            }
        }
    }
    bytes
}

/// A packed file with one of its parts mutated; the bytes themselves where it is none.
fn mutated_inside(bytes: &[u8], other: &[u8], rng: &mut Rng) -> Vec<u8> {
    let Ok(mut archive) = zip::ZipArchive::new(Cursor::new(bytes)) else {
        return mutated(bytes, other, rng);
    };
    if rng.below(4) == 0 || archive.is_empty() {
        return mutated(bytes, other, rng);
    }
    let chosen = rng.below(archive.len());
    let mut packed = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for at in 0..archive.len() {
        let Ok(part) = archive.by_index(at) else { return mutated(bytes, other, rng) };
        let name = part.name().map(|name| name.into_owned()).unwrap_or_default();
        let mut content = Vec::new();
        let _ = part.take(1 << 20).read_to_end(&mut content);
        if at == chosen
            || (name.contains("sheet") || name.contains("content") || name.contains("Strings"))
                && rng.below(3) == 0
        {
            content = mutated(&content, other, rng);
        }
        packed.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        packed.write_all(&content).unwrap();
    }
    packed.finish().unwrap().into_inner()
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Seeds and kept cases of a target.
fn cases(target: &Target) -> Vec<(PathBuf, Vec<u8>)> {
    let mut paths: Vec<PathBuf> = target.seeds.iter().map(|seed| root().join(seed)).collect();
    let kept = std::fs::read_dir(root().join("fuzz/corpus").join(target.name));
    let mut kept: Vec<PathBuf> =
        kept.into_iter().flatten().map(|entry| entry.unwrap().path()).collect();
    kept.sort();
    paths.extend(kept);
    let read = |path: PathBuf| {
        (path.clone(), std::fs::read(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display())))
    };
    paths.into_iter().map(read).collect()
}

fn try_one(target: &Target, about: &str, bytes: &[u8]) {
    let start = Instant::now();
    let run = target.run;
    let went = catch_unwind(|| run(bytes));
    let took = start.elapsed();
    if went.is_err() || took > LONGEST {
        let folder = root().join("target/fuzz");
        let _ = std::fs::create_dir_all(&folder);
        let path = folder.join(format!("{}-{about}", target.name));
        let _ = std::fs::write(&path, bytes);
        panic!(
            "{} fails on {about} after {took:?}; the bytes are in {}",
            target.name,
            path.display()
        );
    }
}

#[test]
fn no_bytes_are_too_strange_for_any_reader() {
    let runs: u64 = setting("SPANYARD_FUZZ_RUNS", 30);
    let from: u64 = setting("SPANYARD_FUZZ_FROM", 0);
    let only: String = setting("SPANYARD_FUZZ_TARGET", String::new());
    for target in TARGETS.iter().filter(|target| only.is_empty() || target.name == only) {
        let start = Instant::now();
        let cases = cases(target);
        for (path, bytes) in &cases {
            let name = path.file_name().unwrap().to_string_lossy();
            try_one(target, &name, bytes);
        }
        for run in from..from + runs {
            let mut rng =
                Rng(0x9E37_79B9_7F4A_7C15 ^ (run + 1).wrapping_mul(0xD134_2543_DE82_EF95));
            rng.next();
            let (_, bytes) = &cases[rng.below(cases.len())];
            let (_, other) = &cases[rng.below(cases.len())];
            try_one(target, &format!("run-{run}"), &mutated_inside(bytes, other, &mut rng));
        }
        eprintln!(
            "{}: {} cases, {runs} mutations in {:.1} s",
            target.name,
            cases.len(),
            start.elapsed().as_secs_f64()
        );
    }
}
