//! `reseat procedures`: which revisions are approved for this site.

use clap::Subcommand;
use reseat_procedure::builtin;
use reseat_record::log::Id;
use reseat_record::refusal::Refusal;
use reseat_record::register::{Command, Register};
use serde_json::json;

use super::act::Actor;
use super::{Answer, Context, Stop, table};
use crate::desk::{Fault, procedure_hash};

#[derive(Debug, clap::Args)]
#[command(args_conflicts_with_subcommands = true)]
pub(super) struct Args {
    /// Write JSON: an array with number, revision, stands, author, approver, walked_on and sha256
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

/// A revision as the list shows it: an approval, or a shipped text that nobody has approved here.
struct Row {
    number: String,
    revision: String,
    stands: &'static str,
    author: String,
    approver: Option<String>,
    walked_on: Option<String>,
    sha256: String,
}

fn rows(register: &Register) -> Vec<Row> {
    let approved = register.approvals().iter().map(|one| Row {
        number: one.number.clone(),
        revision: one.revision.clone(),
        stands: if one.superseded {
            "superseded"
        } else {
            "approved"
        },
        author: name(register, one.author),
        approver: Some(name(register, one.approver)),
        walked_on: Some(one.walked_on.clone()),
        sha256: one.sha256.to_string(),
    });
    let shipped = builtin().iter().filter_map(|(_, bytes)| {
        let sha256 = procedure_hash(bytes);
        if register.approvals().iter().any(|one| one.sha256 == sha256) {
            return None;
        }
        let procedure = reseat_procedure::read(bytes).ok()?;
        Some(Row {
            number: procedure.number,
            revision: procedure.revision,
            stands: "shipped, not approved",
            author: procedure.author,
            approver: None,
            walked_on: None,
            sha256: sha256.to_string(),
        })
    });
    approved.chain(shipped).collect()
}

fn list(as_json: bool, context: &mut Context) -> Result<Answer, Stop> {
    let rows = rows(context.read()?.register());
    if as_json {
        let list: Vec<_> = rows
            .iter()
            .map(|row| {
                json!({"number": row.number, "revision": row.revision, "stands": row.stands, "author": row.author,
                       "approver": row.approver, "walked_on": row.walked_on, "sha256": row.sha256})
            })
            .collect();
        context.out.json(&json!(list))?;
    } else {
        let rows: Vec<Vec<String>> = rows
            .into_iter()
            .map(|row| {
                let approver = row.approver.unwrap_or_default();
                vec![
                    row.number,
                    row.revision,
                    row.stands.into(),
                    row.author,
                    approver,
                    row.sha256[..12].to_owned(),
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
