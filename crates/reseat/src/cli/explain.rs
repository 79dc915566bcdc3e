//! `reseat explain`: what a finding code means.

use reseat_procedure::{codes, explain, severity};
use serde_json::json;

use super::{Answer, Context, Stop, table};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Code of a finding, as `reseat check` prints it; left out: all codes
    code: Option<String>,
    /// Write JSON: an array with code, severity and meaning
    #[arg(long)]
    json: bool,
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let chosen: Vec<(&str, &str)> = match &args.code {
        None => codes::ALL.to_vec(),
        Some(code) => match explain(code) {
            Some(text) => vec![(code.as_str(), text)],
            None => {
                return Err(Stop::words(
                    format!("There is no finding code \"{code}\"."),
                    codes::offer(code),
                ));
            }
        },
    };
    if args.json {
        let rows: Vec<_> = chosen
            .iter()
            .map(|(code, text)| {
                json!({"code": code, "severity": severity(code).word(), "meaning": text})
            })
            .collect();
        context.out.json(&json!(rows))?;
    } else if args.code.is_some() {
        for (code, text) in chosen {
            context
                .out
                .line(&format!("{code} ({})", severity(code).word()))?;
            context.out.line(text)?;
        }
    } else {
        let rows: Vec<Vec<String>> = chosen
            .iter()
            .map(|(code, _)| vec![(*code).to_owned(), severity(code).word().to_owned()])
            .collect();
        table::print(&mut context.out, &["code", "weight"], &rows)?;
    }
    Ok(Answer::Yes)
}
