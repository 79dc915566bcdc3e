//! `reseat draft`: a skeleton of a procedure from a few answers, asked for or given as options.

use std::fs::OpenOptions;
use std::io::Write;
use std::path::{Path, PathBuf};

use reseat_measure::Condition;
use reseat_procedure::draft::{self as answers, DraftEnergy, DraftFault, DraftJoint};
use reseat_procedure::{Draft, draft, read, schema};

use super::out::Out;
use super::{Answer, Context, Stop, typed};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// File to write; it must not be there yet. Left out: the text goes to standard output
    #[arg(value_name = "FILE")]
    file: Option<PathBuf>,
    /// Number of the procedure, such as P-7
    #[arg(long)]
    number: Option<String>,
    /// What is rebuilt
    #[arg(long)]
    title: Option<String>,
    /// Who writes it
    #[arg(long)]
    author: Option<String>,
    /// Model of the unit
    #[arg(long)]
    model: Option<String>,
    /// A source of pressure and its highest, such as "inlet water; 10 bar g"; give one for each
    #[arg(long, value_name = "ENERGY", allow_hyphen_values = true)]
    energy: Vec<String>,
    /// A joint that is opened, such as "J1; cap; 4 screws; M10×1.5; A4-70; N; 19..22 N·m": number, part it holds,
    /// fasteners, thread, grade, letter of the thread condition, window; give one for each, the outermost first
    #[arg(long, value_name = "JOINT", allow_hyphen_values = true)]
    joint: Vec<String>,
    /// Pressure at which the opened joints are proved, such as "15 bar g"
    #[arg(long, value_name = "PRESSURE", allow_hyphen_values = true)]
    test: Option<String>,
    /// Write the JSON Schema that editors complete and check by, instead of a skeleton
    #[arg(long)]
    schema: bool,
}

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    let out = &mut context.out;
    if args.schema {
        write(args.file.as_deref(), &schema(), out)?;
        return Ok(Answer::Yes);
    }
    let number = one(
        out,
        args.number,
        "Number of the procedure, such as P-7",
        words,
    )?;
    let title = one(out, args.title, "What is rebuilt", words)?;
    let author = one(out, args.author, "Who writes it", words)?;
    let model = one(out, args.model, "Model of the unit", words)?;
    let question = format!("A source of pressure, such as {}", answers::ENERGY_FORM);
    let energies = several(out, &args.energy, &question, DraftEnergy::parse)?;
    let question = format!(
        "A joint, the outermost first, such as {}",
        answers::JOINT_FORM
    );
    if args.joint.is_empty() {
        let letters = Condition::choices();
        out.aside(&format!("Letters of the thread condition: {letters}."));
    }
    let joints = several(out, &args.joint, &question, DraftJoint::parse)?;
    let question = "Pressure at which the opened joints are proved, such as 15 bar g";
    let test = one(out, args.test, question, answers::pressure)?;
    let text = draft(&Draft {
        number,
        title,
        author,
        model,
        energies,
        joints,
        test,
    });
    // What was answered can still contradict itself: one name given to two joints.
    if let Err(found) = read(text.as_bytes()) {
        let first = found.first();
        return Err(Stop::words(
            first.map_or("The answers do not hold together.", |finding| {
                finding.message.as_str()
            }),
            first.map_or("Start again.", |finding| finding.remedy.as_str()),
        ));
    }
    if write(args.file.as_deref(), &text, out)? {
        out.line("It is a skeleton: name the valves of your plant, write ranges and errors of instruments, the window of zero, the parts inside.")?;
        out.line("Then run reseat check on it, and mend what it finds.")?;
        out.line(
            "Editors complete by the schema beside it: reseat draft --schema procedure.schema.json",
        )?;
    }
    Ok(Answer::Yes)
}

/// Writes a new file, or to standard output where none is named; whether it was a file.
fn write(file: Option<&Path>, text: &str, out: &mut Out) -> Result<bool, Stop> {
    let Some(file) = file else {
        out.drawn(text.trim_end())?;
        return Ok(false);
    };
    let failed = |error: std::io::Error| {
        Stop::words(
            format!("{} cannot be written: {error}.", file.display()),
            "Give the path of a new file in a folder you may write to.",
        )
    };
    let mut new = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file)
        .map_err(failed)?;
    new.write_all(text.as_bytes()).map_err(failed)?;
    out.line(&format!("{} is written.", file.display()))?;
    Ok(true)
}

/// A text that says something.
#[expect(
    clippy::unnecessary_wraps,
    reason = "it stands where readers that can fail stand"
)]
fn words(text: &str) -> Result<String, DraftFault> {
    Ok(text.trim().to_owned())
}

fn refused(fault: &DraftFault) -> Stop {
    Stop::words(
        format!("{fault}."),
        "Write it in the form that reseat draft --help shows.",
    )
}

/// A line of standard input; none at its end or where it is empty.
fn asked(out: &mut Out, question: &str) -> Result<Option<String>, Stop> {
    out.prompt(&format!("{question}: "));
    let line = typed::line("Give the answers as options; reseat draft --help names them.")?;
    let line = line.trim().to_owned();
    Ok((!line.is_empty()).then_some(line))
}

/// The answer given as an option, or asked until one can be used.
fn one<T>(
    out: &mut Out,
    given: Option<String>,
    question: &str,
    read: impl Fn(&str) -> Result<T, DraftFault>,
) -> Result<T, Stop> {
    if let Some(text) = given {
        return read(&text).map_err(|fault| refused(&fault));
    }
    loop {
        if let Some(text) = asked(out, question)? {
            match read(&text) {
                Ok(value) => return Ok(value),
                Err(fault) => out.aside(&format!("{fault}.")),
            }
        }
    }
}

/// At least one answer; where they are asked, an empty line ends them.
fn several<T>(
    out: &mut Out,
    given: &[String],
    question: &str,
    read: impl Fn(&str) -> Result<T, DraftFault>,
) -> Result<Vec<T>, Stop> {
    if !given.is_empty() {
        return given
            .iter()
            .map(|text| read(text).map_err(|fault| refused(&fault)))
            .collect();
    }
    let mut all = Vec::new();
    loop {
        let question = if all.is_empty() {
            question.to_owned()
        } else {
            format!("{question}; empty when there is no more")
        };
        match asked(out, &question)? {
            None if all.is_empty() => {}
            None => return Ok(all),
            Some(text) => match read(&text) {
                Ok(value) => all.push(value),
                Err(fault) => out.aside(&format!("{fault}.")),
            },
        }
    }
}
