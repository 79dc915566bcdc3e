//! The command line: arguments, exit codes, and one file for each command.
//!
//! Exit 0: done. Exit 1: the answer is no (findings, refused, tampered, input ended early). Exit 2: it could not be asked or
//! done. Only [`out`] prints.

mod act;
mod approve;
mod calc;
mod check;
mod compare;
mod demo;
mod docs;
mod draft;
mod explain;
mod history;
mod instruments;
mod out;
mod outline;
mod pages;
mod people;
mod plain;
mod procedures;
mod recall;
mod reindex;
mod rule;
mod screens;
mod secret;
mod show;
mod table;
mod tag;
mod typed;
mod units;
mod verify;
mod watch;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

pub use docs::commands_page;

use reseat_history::StorageFault;

use crate::desk::{
    ClockFault, Desk, Fault, HomeFault, SET_CLOCK, SetTime, Surroundings, SystemTime, Time,
};
use out::Out;

/// Walks a technician through the rebuild of a regulator or control valve, and keeps the signed record.
///
/// Without a command the screens open; with --plain a rebuild is led through on plain lines. The screen proves nothing about energy: local codes, site permits and licensed
/// practice come first.
#[derive(Debug, Parser)]
#[command(
    name = "reseat",
    version,
    disable_help_subcommand = true,
    max_term_width = 100
)]
pub struct Args {
    /// Home folder with the service history, by its whole path [environment: RESEAT_HOME]
    #[arg(long, global = true, value_name = "DIR")]
    home: Option<PathBuf>,
    #[command(flatten)]
    plain: plain::Plain,
    #[command(subcommand)]
    command: Option<Command>,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Make or take up an invented site to try the program on
    Demo(demo::Args),
    /// List places and their units; add, fit and remove them
    Units(units::Args),
    /// List the rebuilds at a place or of a unit
    History(history::Args),
    /// Show one record in full
    Show(show::Args),
    /// Check procedure files
    Check(check::Args),
    /// Say what a finding of check means
    Explain(explain::Args),
    /// Show what the technician will see of a procedure; print a running rebuild for work without the laptop
    Outline(outline::Args),
    /// Page through a procedure on the screens, with its findings and the stack after each step
    Pages(pages::Args),
    /// Print the text for the paper tag of an unfinished unit
    Tag(tag::Args),
    /// Say what changed between two revisions of a procedure
    Compare(compare::Args),
    /// Write a skeleton of a procedure from a few answers
    Draft(draft::Args),
    /// Verify records: chain, signatures and whose they are
    Verify(verify::Args),
    /// List people; add and retire them, give roles and new keys
    People(people::Args),
    /// List instruments; add, quarantine, return, renew and withdraw them
    Instruments(instruments::Args),
    /// List the readings of an instrument found out, judged again; put them in doubt
    Recall(recall::Args),
    /// List approved procedures; retire a revision
    Procedures(procedures::Args),
    /// Show or set the decision rule that readings are judged by
    Rule(rule::Args),
    /// Read a procedure page by page and approve it for this site
    Approve(approve::Args),
    /// Work out torques, leaks, springs, orders and lives; judge a reading
    Calc(calc::Args),
    /// Make the index of the home anew from its records
    Reindex(reindex::Args),
}

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Answer {
    /// Done, or yes.
    Yes,
    /// Asked and answered: no. What is wrong was said.
    No,
}

/// Why a command ended early.
#[derive(Debug)]
enum Stop {
    /// A fault of the home; its words are printed.
    Fault(Fault),
    /// Something else, with its words; exit 2.
    Words { sentence: String, remedy: String },
    /// The input ended before the question was answered; exit 1.
    InputEnded,
    /// The reader of the output has gone.
    PipeClosed,
}

impl From<Fault> for Stop {
    fn from(fault: Fault) -> Self {
        Self::Fault(fault)
    }
}

impl From<HomeFault> for Stop {
    fn from(fault: HomeFault) -> Self {
        Self::Fault(fault.into())
    }
}

impl From<ClockFault> for Stop {
    fn from(fault: ClockFault) -> Self {
        Self::Fault(fault.into())
    }
}

impl From<StorageFault> for Stop {
    fn from(fault: StorageFault) -> Self {
        Self::Fault(fault.into())
    }
}

impl Stop {
    fn words(sentence: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self::Words {
            sentence: sentence.into(),
            remedy: remedy.into(),
        }
    }
}

/// What a command runs in.
struct Context {
    out: Out,
    around: Surroundings,
}

impl Context {
    /// The machine's clock, or the one set by hand for a demo.
    fn time() -> Result<Box<dyn Time>, Stop> {
        match std::env::var_os(SET_CLOCK) {
            Some(text) => Ok(Box::new(SetTime::at(&text.to_string_lossy())?)),
            None => Ok(Box::new(SystemTime::new())),
        }
    }

    /// The home, for reading.
    fn read(&self) -> Result<Desk, Stop> {
        Ok(Desk::read(&self.around.home()?, Self::time()?)?)
    }

    /// The home, for work.
    fn work(&self) -> Result<Desk, Stop> {
        Ok(Desk::open(&self.around.home()?, Self::time()?)?)
    }
}

/// Runs the program with the arguments it was started with.
pub fn main() -> ExitCode {
    let mut out = Out::standard();
    let args = match Args::try_parse() {
        Ok(args) => args,
        Err(wrong) => return ended(&mut out, usage(&wrong)),
    };
    let around = Surroundings::read(args.home);
    let mut context = Context { out, around };
    if let Some(warning) = context.around.warning() {
        context.out.aside(&warning);
    }
    if args.plain.given() && (args.command.is_some() || !args.plain.wanted) {
        let mixed = Stop::words(
            "--passphrase-file belongs to --plain or to a command, and --plain stands without a command.",
            "Give --plain alone, or the command with its own options behind it.",
        );
        return ended(&mut context.out, Err(mixed));
    }
    let answer = match args.command {
        None if args.plain.wanted => plain::run(&args.plain, &mut context),
        None => screens::run(&mut context),
        Some(Command::Demo(args)) => demo::run(args, &mut context),
        Some(Command::Units(args)) => units::run(args, &mut context),
        Some(Command::History(args)) => history::run(&args, &mut context),
        Some(Command::Show(args)) => show::run(&args, &mut context),
        Some(Command::Check(args)) => check::run(&args, &mut context),
        Some(Command::Explain(args)) => explain::run(&args, &mut context),
        Some(Command::Outline(args)) => outline::run(args, &mut context),
        Some(Command::Pages(args)) => pages::run(&args, &mut context),
        Some(Command::Tag(args)) => tag::run(&args, &mut context),
        Some(Command::Compare(args)) => compare::run(&args, &mut context),
        Some(Command::Draft(args)) => draft::run(args, &mut context),
        Some(Command::Verify(args)) => verify::run(&args, &mut context),
        Some(Command::People(args)) => people::run(args, &mut context),
        Some(Command::Instruments(args)) => instruments::run(args, &mut context),
        Some(Command::Recall(args)) => recall::run(args, &mut context),
        Some(Command::Procedures(args)) => procedures::run(args, &mut context),
        Some(Command::Rule(args)) => rule::run(args, &mut context),
        Some(Command::Approve(args)) => approve::run(&args, &mut context),
        Some(Command::Calc(args)) => calc::run(&args, &mut context),
        Some(Command::Reindex(args)) => reindex::run(&args, &mut context),
    };
    ended(&mut context.out, answer)
}

/// Help and version are answers; anything else about the arguments could not be asked.
fn usage(wrong: &clap::Error) -> Result<Answer, Stop> {
    // clap's own printing knows where help goes, how wide it is, and the colours.
    let printed = wrong.print();
    match (printed, wrong.exit_code()) {
        (Err(error), _) if error.kind() == std::io::ErrorKind::BrokenPipe => Err(Stop::PipeClosed),
        (_, 0) => Ok(Answer::Yes),
        _ => Err(Stop::Words {
            sentence: String::new(),
            remedy: String::new(),
        }),
    }
}

fn ended(out: &mut Out, answer: Result<Answer, Stop>) -> ExitCode {
    match answer.and_then(|answer| out.finish().map(|()| answer)) {
        Ok(Answer::Yes) | Err(Stop::PipeClosed) => ExitCode::SUCCESS,
        Ok(Answer::No) => ExitCode::from(1),
        Err(Stop::Fault(fault)) => {
            out.error(&fault.sentence(), &fault.remedy());
            ExitCode::from(if fault.is_no() { 1 } else { 2 })
        }
        Err(Stop::Words { sentence, remedy }) => {
            if !sentence.is_empty() {
                out.error(&sentence, &remedy);
            }
            ExitCode::from(2)
        }
        Err(Stop::InputEnded) => {
            out.error(
                "The input ended before the question was answered.",
                "Nothing was done; start again.",
            );
            ExitCode::from(1)
        }
    }
}
