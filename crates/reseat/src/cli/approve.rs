//! `reseat approve`: a revision of a procedure, for this site, after it was walked through at the unit and read here page
//! by page.

use std::path::PathBuf;

use super::act::{Actor, person};
use super::check::{Checked, print};
use super::pages::{bytes, read_through};
use super::{Answer, Context, Stop};
use crate::desk::{Approving, PagesRead};

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Procedure file, or the name of a shipped one; its exact bytes are approved and kept
    #[arg(value_name = "FILE")]
    file: PathBuf,
    /// Who wrote it, by name or id
    #[arg(long, value_name = "PERSON")]
    author: String,
    /// Who walked it through at the unit, by name or id
    #[arg(long, value_name = "PERSON")]
    walked_by: String,
    /// The day of the walk-through, such as 2026-03-12
    #[arg(long, value_name = "DAY")]
    walked_on: String,
    /// Why its warnings may stand, where it has any
    #[arg(long, value_name = "WORDS")]
    reason: Option<String>,
    #[command(flatten)]
    actor: Actor,
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let mut desk = context.work()?;
    let checked = Checked::of(bytes(&args.file)?);
    if checked.has_errors() {
        print(&args.file, &checked, &mut context.out)?;
        context.out.error(
            "The procedure has errors and is not approved.",
            "Put them right first.",
        );
        return Ok(Answer::No);
    }
    let author = person(desk.register(), &args.author)?.id;
    let walked_by = person(desk.register(), &args.walked_by)?.id;
    let mut approving = Approving {
        bytes: checked.bytes,
        author,
        walked_by,
        walked_on: args.walked_on.clone(),
        read: PagesRead {
            reason: args.reason.clone(),
            ..PagesRead::default()
        },
    };
    // What would be refused at the end is refused before anybody reads.
    let by = args.actor.person(&desk)?;
    desk.may_approve(&approving, &by)?;
    approving.read = read_through(&approving.bytes, args.reason.clone(), context)?;
    let by = args.actor.sit_down(&mut desk, context)?;
    let (number, revision) = desk.approve(&approving, &by)?;
    context.out.line(&format!(
        "Revision {revision} of {number} is approved for this site."
    ))?;
    Ok(Answer::Yes)
}
