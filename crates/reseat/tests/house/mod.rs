//! The program run as a user runs it, in a home of its own with everything else taken out of the environment.

#![allow(clippy::unwrap_used, dead_code, unreachable_pub, clippy::panic)] // each test file uses its own part

use std::collections::BTreeSet;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use reseat::desk::{Desk, Enrolment, Founding, SetTime};
use reseat_procedure::model::Role;
use zeroize::Zeroizing;

/// The fixed clock of every run.
pub const CLOCK: &str = "2026-03-12T06:00:00.000Z+01:00";

/// People of the demo as `reseat demo` prints them, in the form of a passphrase file.
pub const SECRETS: &str = "Mbali Sefton\ttern lead hand\t240600\n\
    Ines Falk\ttern day shift\t240601\n\
    Rurik Odde\ttern late shift\t240602\n\
    Piet Vrang\ttern control room\t240603\n\
    Yara Quist\ttern approves it\t240605\n";

/// The arguments of `instruments add TW-19` after its name.
pub const INSTRUMENT: [&str; 18] = [
    "--serial",
    "W-119",
    "--kind",
    "dial torque wrench",
    "--scale",
    "N·m",
    "--range",
    "40..200 N·m",
    "--resolution",
    "1 N·m",
    "--certificate",
    "C-26-19",
    "--calibrated",
    "2026-01-10",
    "--due",
    "2027-01-10",
    "--deviation",
    "4 % of reading",
];

/// A folder of its own, with a home in it.
pub struct House {
    folder: tempfile::TempDir,
}

/// What a run of the program gave.
#[must_use]
#[derive(Debug)]
pub struct Ran {
    pub code: i32,
    pub out: String,
    pub err: String,
}

impl Ran {
    fn of(output: Output) -> Self {
        Self {
            code: output.status.code().unwrap_or(-1),
            out: String::from_utf8(output.stdout).unwrap(),
            err: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// The exit code, and standard error where it differs.
    #[track_caller]
    pub fn exits(&self, code: i32) -> &Self {
        assert_eq!(self.code, code, "\nout: {}\nerr: {}", self.out, self.err);
        self
    }

    #[track_caller]
    pub fn says(&self, text: &str) -> &Self {
        let said = format!("{}{}", self.out, self.err);
        assert!(
            said.contains(text),
            "not said: {text}\nout: {}\nerr: {}",
            self.out,
            self.err
        );
        self
    }

    /// Lines of what came out that begin so.
    pub fn lines(&self, start: &str) -> Vec<&str> {
        self.out
            .lines()
            .filter(|line| line.starts_with(start))
            .collect()
    }

    #[track_caller]
    pub fn json(&self) -> serde_json::Value {
        serde_json::from_str(&self.out).unwrap_or_else(|error| panic!("{error}: {}", self.out))
    }
}

impl House {
    /// An empty one.
    pub fn empty() -> Self {
        Self {
            folder: tempfile::tempdir().unwrap(),
        }
    }

    /// One with the demo in it and everybody's secrets: at 07:00 FV-3302 stands paused since 06:44 in the second pass of J1, nuts
    /// 1, 5 and 3 of eight pulled, Ines Falk's own lock on the box, zero proved on two sides.
    pub fn demo() -> Self {
        let house = Self::empty();
        let mut make = house.command();
        make.args(["demo", "--no-screen", "--at"]).arg(house.home());
        Self::ran(&mut make).exits(0);
        house.write("secrets", SECRETS);
        house
    }

    /// One with a demo site, a lead, and a file with the passphrases of all that the tests enrol.
    pub fn founded() -> Self {
        let house = Self::empty();
        let founding = Founding {
            site: "Tern Point".into(),
            rule: "29 CFR 1910.147".into(),
            lead_name: "Mbali Sefton".into(),
            passphrase: Zeroizing::new("osmosis runs uphill".into()),
            pin: Zeroizing::new("314159".into()),
        };
        let time = || Box::new(SetTime::at(CLOCK).unwrap());
        let (mut desk, words) = Desk::found_demo(&house.home(), &founding, time()).unwrap();
        let lead = desk.register().person_named("Mbali Sefton").unwrap().id;
        for (name, roles) in [
            ("Tomas Brel", vec![Role::Author]),
            ("Yara Quist", vec![Role::Approver]),
        ] {
            desk.check_pin(&lead, "314159").unwrap();
            let roles: BTreeSet<Role> = roles.into_iter().collect();
            let passphrase = Zeroizing::new(format!("{name} types this"));
            desk.enrol(
                &Enrolment {
                    name: name.into(),
                    roles,
                    passphrase,
                    pin: Zeroizing::new("271828".into()),
                },
                &lead,
            )
            .unwrap();
        }
        house.write(
            "secrets",
            "Mbali Sefton\tosmosis runs uphill\t314159\nTomas Brel\tTomas Brel types this\t271828\n\
             Yara Quist\tYara Quist types this\t271828\nInes Falk\tbrine in the drain\t161803\n",
        );
        house.write("words", &words.words().join(" "));
        house
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn home(&self) -> PathBuf {
        self.path("home")
    }

    pub fn write(&self, name: &str, text: &str) -> PathBuf {
        std::fs::write(self.path(name), text).unwrap();
        self.path(name)
    }

    /// The program with nothing of the surroundings but this house and the fixed clock.
    pub fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_reseat"));
        command
            .env_clear()
            .env("HOME", self.folder.path())
            .env("RESEAT_HOME", self.home())
            .env("RESEAT_DEMO_CLOCK", CLOCK)
            .current_dir(self.folder.path())
            .stdin(Stdio::null());
        command
    }

    pub fn run(&self, args: &[&str]) -> Ran {
        Self::ran(self.command().args(args))
    }

    /// As the lead, with the passphrase file.
    pub fn by(&self, who: &str, args: &[&str]) -> Ran {
        let secrets = self.path("secrets");
        Self::ran(
            self.command()
                .args(args)
                .args(["--by", who, "--passphrase-file"])
                .arg(secrets),
        )
    }

    /// Puts the wrench TW-19 on the register, as the lead.
    pub fn adds_a_wrench(&self) {
        let args = [&["instruments", "add", "TW-19"], INSTRUMENT.as_slice()].concat();
        self.by("Mbali Sefton", &args).exits(0);
    }

    /// As a person who reads page after page: Enter as often as there are pages, and more.
    pub fn reads(&self, who: &str, args: &[&str], pages: usize) -> Ran {
        self.write("enters", &"\n".repeat(pages));
        let enters = std::fs::File::open(self.path("enters")).unwrap();
        let secrets = self.path("secrets");
        Self::ran(
            self.command()
                .args(args)
                .args(["--by", who, "--passphrase-file"])
                .arg(secrets)
                .stdin(enters),
        )
    }

    /// Line mode with a passphrase file, these arguments and this input.
    pub fn line_mode(&self, secrets: &Path, args: &[&str], input: &[u8]) -> Ran {
        let mut command = self.command();
        command
            .arg("--plain")
            .args(args)
            .arg("--passphrase-file")
            .arg(secrets)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let mut pipe = child.stdin.take().unwrap();
        let input = input.to_owned();
        let writer = std::thread::spawn(move || {
            // A program that ended early has closed the pipe; what it said is looked at.
            let _ = pipe.write_all(&input);
        });
        let output = child.wait_with_output().unwrap();
        writer.join().unwrap();
        Ran::of(output)
    }

    pub fn ran(command: &mut Command) -> Ran {
        Ran::of(command.output().unwrap())
    }

    /// Identifiers and paths of this run replaced by words, so that output can be compared whole.
    pub fn plain(&self, text: &str) -> String {
        let text = text.replace(&*self.folder.path().to_string_lossy(), "[HOUSE]");
        let mut shown = String::new();
        for line in text.lines() {
            let words: Vec<&str> = line
                .split(' ')
                .map(|word| if is_id(word) { "[ID]" } else { word })
                .collect();
            shown.push_str(&words.join(" "));
            shown.push('\n');
        }
        shown
    }
}

fn is_id(word: &str) -> bool {
    let word = word.trim_matches(|letter: char| matches!(letter, '"' | ',' | '.' | ':'));
    word.len() == 19 && reseat_record::log::Id::parse(word).is_ok()
}

/// Copies a folder with all in it.
pub fn copy_folder(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let entry = entry.unwrap();
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            copy_folder(&entry.path(), &target);
        } else {
            std::fs::copy(entry.path(), target).unwrap();
        }
    }
}
