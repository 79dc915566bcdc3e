//! What the screens show of procedures: the list of the register, and one opened at its cover.

use reseat_procedure::Reading;
use reseat_procedure::model::Role;

use super::gather::{holders, line, people, shipped};
use super::message::Said;
use super::sight::{PagesSight, RegisterLine};
use crate::desk::Desk;

/// A procedure at its cover; with a home open also who may approve it.
pub(super) fn pages(desk: Option<&Desk>, bytes: Vec<u8>) -> Result<PagesSight, Said> {
    let reading = Reading::of(&bytes).map_err(|findings| {
        let (message, remedy) = findings.first().map_or_else(
            || ("The text is no procedure.".to_owned(), String::new()),
            |first| {
                let place = format!("Line {}, column {}: ", first.line, first.column);
                (format!("{place}{}", first.message), first.remedy.clone())
            },
        );
        Said::refusal("not-a-procedure", message, remedy)
    })?;
    let register = desk.map(Desk::register);
    Ok(PagesSight {
        reading,
        bytes,
        approvers: register.map(|register| holders(register, Role::Approver)),
        people: register.map(people).unwrap_or_default(),
    })
}

/// Approved revisions, and what is shipped and not approved here.
pub(super) fn lines(desk: &Desk) -> Vec<RegisterLine> {
    let register = desk.register();
    let mut lines: Vec<RegisterLine> = register
        .approvals()
        .iter()
        .map(|approval| {
            let title = desk
                .procedure(&approval.sha256)
                .map(|procedure| procedure.title)
                .unwrap_or_default();
            let by = register.person(approval.approver).map_or_else(
                || approval.approver.to_string(),
                |person| person.name.clone(),
            );
            let standing = format!("approved by {by}");
            line(
                approval.sha256.to_string(),
                &[&approval.number, &approval.revision, &title, &standing],
                approval.superseded,
            )
        })
        .collect();
    for (hash, _, procedure) in shipped() {
        if !lines.iter().any(|line| line.key == hash) {
            let columns = [
                procedure.number.as_str(),
                &procedure.revision,
                &procedure.title,
                "shipped, not approved here",
            ];
            lines.push(line(hash, &columns, false));
        }
    }
    lines
}
