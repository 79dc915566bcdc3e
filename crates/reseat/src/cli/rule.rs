//! `reseat rule`: the decision rule the site's readings are judged by.

use clap::Subcommand;
use reseat_measure::rule::Rule;
use reseat_record::register::{Command, Site};
use serde_json::json;

use super::act::Actor;
use super::{Answer, Context, Stop};

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Args {
    /// Write JSON: an object with rule and since (the number of the register entry that set it, or null)
    #[arg(long)]
    json: bool,
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(Debug, Subcommand)]
enum Act {
    /// Set the rule; a lead signs it
    Set {
        /// simple, guarded, four, or probability with a number, such as 'probability 0.95'
        #[arg(value_parser = rule)]
        rule: Rule,
        #[command(flatten)]
        actor: Actor,
    },
}

fn rule(text: &str) -> Result<Rule, String> {
    text.parse()
        .map_err(|why: reseat_measure::rule::RuleError| why.to_string())
}

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    match args.act {
        None => shown(args.json, context),
        Some(Act::Set { rule, actor }) => {
            let mut desk = context.work()?;
            let by = actor.sit_down(&mut desk, context)?;
            desk.change(Command::JudgeBy { rule }, &by)?;
            let said = format!("Readings are judged by the rule \"{rule}\" from now on.");
            context.out.line(&said)?;
            let without: Vec<String> = desk
                .register()
                .instruments()
                .filter(|one| rule != Rule::Simple && one.calibration.uncertainty.is_none())
                .map(|one| one.id.clone())
                .collect();
            if !without.is_empty() {
                context.out.line(&format!(
                    "It needs an uncertainty, and the certificate states none for {}: no reading with a window is taken on them \
                     but of zero.",
                    without.join(", ")
                ))?;
            }
            Ok(Answer::Yes)
        }
    }
}

fn shown(as_json: bool, context: &mut Context) -> Result<Answer, Stop> {
    let desk = context.read()?;
    let site = desk.register().site();
    let rule = site.map_or(Rule::Simple, |site: &Site| site.decision_rule);
    let since = site.and_then(|site| site.ruled).map(|ruled| ruled.number);
    if as_json {
        context
            .out
            .json(&json!({"rule": rule.to_string(), "since": since}))?;
    } else {
        let whence = since.map_or_else(
            || "until the site names another".to_owned(),
            |number| format!("set by entry {number} of the register"),
        );
        context.out.line(&format!("{rule}, {whence}"))?;
    }
    Ok(Answer::Yes)
}
