//! `reseat procedures`: which revisions are approved for this site.

use clap::Subcommand;
use reseat_record::log::Id;
use reseat_record::refusal::Refusal;
use reseat_record::register::{Command, Register};
use serde_json::json;

use super::act::Actor;
use super::{Answer, Context, Stop, table};
use crate::desk::Fault;

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Args {
    /// Write JSON: an array with number, revision, sha256, author, approver, walked_on and superseded
    #[arg(long)]
    json: bool,
    #[command(subcommand)]
    act: Option<Act>,
}

#[derive(Debug, Subcommand)]
enum Act {
    /// Retire a revision: no rebuild starts on it any more
    Retire {
        /// Number of the procedure
        number: String,
        /// Revision
        revision: String,
        /// Why
        #[arg(long)]
        reason: String,
        #[command(flatten)]
        actor: Actor,
    },
}

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    match args.act {
        None => list(args.json, context),
        Some(Act::Retire {
            number,
            revision,
            reason,
            actor,
        }) => {
            let mut desk = context.work()?;
            let matching = |approval: &&reseat_record::register::Approval| {
                approval.number == number && approval.revision == revision
            };
            let sha256 = desk
                .register()
                .approvals()
                .iter()
                .rev()
                .find(matching)
                .map(|approval| approval.sha256);
            let unapproved = || {
                Fault::from(Refusal::NotApproved {
                    number: number.clone(),
                    revision: revision.clone(),
                })
            };
            let sha256 = sha256.ok_or_else(unapproved)?;
            let by = actor.sit_down(&mut desk, context)?;
            let said = format!("Revision {revision} of {number} is retired.");
            desk.change(
                Command::Supersede {
                    number,
                    revision,
                    sha256,
                    reason,
                },
                &by,
            )?;
            context.out.line(&said)?;
            Ok(Answer::Yes)
        }
    }
}

fn list(as_json: bool, context: &mut Context) -> Result<Answer, Stop> {
    let desk = context.read()?;
    let register = desk.register();
    let approvals = register.approvals();
    if as_json {
        let list: Vec<_> = approvals
            .iter()
            .map(|one| {
                json!({"number": one.number, "revision": one.revision, "sha256": one.sha256.to_string(),
                       "author": name(register, one.author), "approver": name(register, one.approver),
                       "walked_on": one.walked_on, "superseded": one.superseded})
            })
            .collect();
        context.out.json(&json!(list))?;
    } else if approvals.is_empty() {
        context
            .out
            .line("No procedure is approved here. Approve one with `reseat approve FILE`.")?;
    } else {
        let rows: Vec<Vec<String>> = approvals
            .iter()
            .map(|one| {
                let stands = if one.superseded {
                    "superseded"
                } else {
                    "approved"
                };
                let names = [one.author, one.approver].map(|id| name(register, id));
                let [author, approver] = names;
                vec![
                    one.number.clone(),
                    one.revision.clone(),
                    stands.into(),
                    author,
                    approver,
                    one.sha256.to_string()[..12].into(),
                ]
            })
            .collect();
        table::print(
            &mut context.out,
            &[
                "number", "revision", "stands", "author", "approver", "sha256",
            ],
            &rows,
        )?;
    }
    Ok(Answer::Yes)
}

fn name(register: &Register, id: Id) -> String {
    register
        .person(id)
        .map_or_else(|| id.to_string(), |person| person.name.clone())
}
