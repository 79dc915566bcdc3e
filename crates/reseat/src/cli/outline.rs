//! `reseat outline`: what the technician will see of a procedure for one choice of options.

use std::path::PathBuf;

use reseat_procedure::{choose, outline};
use serde_json::json;

use super::{Answer, Context, Stop, check, tag};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Procedure file
    #[arg(value_name = "FILE", required_unless_present = "rebuild")]
    file: Option<PathBuf>,
    /// Print the open rebuild at this tag, or this record, instead: what is done ticked, blanks for what is left
    #[arg(long, value_name = "TAG|RECORD", conflicts_with_all = ["file", "json", "choose"])]
    rebuild: Option<String>,
    /// Write JSON: number, revision, title, author, options and sections with their steps
    #[arg(long)]
    json: bool,
    /// Value of an option; may be given for each
    #[arg(long, value_name = "OPTION=VALUE")]
    choose: Vec<String>,
    /// The same, each option of the procedure by its own name, such as `--size 2`
    #[arg(
        trailing_var_arg = true,
        allow_hyphen_values = true,
        value_name = "--OPTION VALUE"
    )]
    options: Vec<String>,
}

const HOW: &str = "Write --OPTION VALUE behind the file, or --choose OPTION=VALUE, for each option of the procedure.";

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    let file = match (args.rebuild, args.file) {
        (Some(typed), _) => {
            let desk = context.read()?;
            for line in tag::rebuild(&desk, &typed)?.sheet_lines(&desk.stamp(None)) {
                context.out.line(&line)?;
            }
            return Ok(Answer::Yes);
        }
        (None, Some(file)) => file,
        (None, None) => return Err(Stop::words("No file was named.", HOW)),
    };
    let (given, json) = given(args.choose, args.options, args.json)?;
    let procedure = check::procedure(&file, context)?;
    let choices =
        choose(&procedure, &given).map_err(|fault| Stop::words(fault.to_string(), HOW))?;
    let outlined = outline(&procedure, &choices);
    if json {
        context.out.json(&json!(outlined))?;
    } else {
        for line in outlined.lines() {
            context.out.line(&line)?;
        }
    }
    Ok(Answer::Yes)
}

/// Pairs of option and value from both ways of writing them. Words behind the first `--OPTION` reach us unread, so
/// the command's own are looked for among them.
fn given(
    chosen: Vec<String>,
    words: Vec<String>,
    mut json: bool,
) -> Result<(Vec<(String, String)>, bool), Stop> {
    let mut given = Vec::new();
    let pair = |text: &str| {
        text.split_once('=')
            .map(|(option, value)| (option.to_owned(), value.to_owned()))
            .ok_or_else(|| Stop::words(format!("\"{text}\" names no option and value."), HOW))
    };
    for text in chosen {
        given.push(pair(&text)?);
    }
    let mut words = words.into_iter();
    while let Some(word) = words.next() {
        let Some(name) = word.strip_prefix("--").filter(|name| !name.is_empty()) else {
            return Err(Stop::words(format!("\"{word}\" stands alone."), HOW));
        };
        if name == "json" {
            json = true;
        } else if name == "choose" {
            given.push(pair(&words.next().unwrap_or_default())?);
        } else if let Some((option, value)) = name.split_once('=') {
            given.push((option.to_owned(), value.to_owned()));
        } else {
            let value = words
                .next()
                .ok_or_else(|| Stop::words(format!("Option \"{name}\" has no value."), HOW))?;
            given.push((name.to_owned(), value));
        }
    }
    Ok((given, json))
}
