//! `reseat tag`: the text for the paper tag of an unfinished unit.

use reseat_record::rebuild::Rebuild;
use reseat_record::text::folded;

use super::verify::record;
use super::{Answer, Context, Stop};
use crate::desk::Desk;

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Tag of the place with an open rebuild or one closed unfinished, or the record by its identifier or a beginning of four or more characters
    #[arg(value_name = "TAG|RECORD")]
    rebuild: String,
}

pub(super) fn run(args: &Args, context: &mut Context) -> Result<Answer, Stop> {
    let desk = context.read()?;
    let rebuild = rebuild(&desk, &args.rebuild)?;
    for line in rebuild.tag_lines(desk.register(), &desk.stamp(None)) {
        context.out.line(&line)?;
    }
    Ok(Answer::Yes)
}

/// The open rebuild at a tag, else the last one there if it was closed unfinished; or the rebuild of a record.
pub(super) fn rebuild(desk: &Desk, typed: &str) -> Result<Rebuild, Stop> {
    let row = desk
        .home_rows()?
        .into_iter()
        .find(|row| !row.tag.is_empty() && folded(&row.tag) == folded(typed));
    let stream = match row {
        Some(row) => {
            let last = desk.past(&row.serial)?.into_iter().next();
            let unfinished = last.filter(|last| last.state.starts_with("INCOMPLETE"));
            row.open
                .or_else(|| unfinished.map(|last| last.stream))
                .ok_or_else(|| {
                    Stop::words(
                        format!("No rebuild is open at {}.", row.tag),
                        "`reseat history` lists the closed ones; name one by its record.",
                    )
                })?
        }
        None => record(desk.history(), typed)?,
    };
    Ok(desk.look(&stream)?)
}
