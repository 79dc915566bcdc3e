//! A rebuild worked through in memory, entry by entry as at the desk, and handed over whole.

use std::collections::BTreeMap;
use std::time::Duration;

use reseat_record::log::{Id, Sealed};
use reseat_record::rebuild::{Ask, Command, Rebuild, Start};

use super::robot::{Doing, Robot};
use crate::desk::{Desk, Fault, SetTime};

/// Most asks of one rebuild: a robot that goes in circles is a fault, not a wait.
const MOST_ASKS: usize = 6000;

/// One rebuild worked through in memory.
pub struct Rehearsal<'a> {
    desk: &'a mut Desk,
    time: &'a SetTime,
    pins: &'a BTreeMap<Id, String>,
    robot: Robot,
    rebuild: Rebuild,
    entries: Vec<Sealed>,
}

impl<'a> Rehearsal<'a> {
    /// Starts it: decided and signed as at the desk.
    pub fn start(
        desk: &'a mut Desk,
        time: &'a SetTime,
        pins: &'a BTreeMap<Id, String>,
        robot: Robot,
        start: Start,
    ) -> Result<Self, Fault> {
        let pin = pins.get(&start.performer).cloned().unwrap_or_default();
        desk.check_pin(&start.performer, &pin)?;
        let (rebuild, first) = desk.rehearse_start(start)?;
        Ok(Self {
            desk,
            time,
            pins,
            robot,
            rebuild,
            entries: vec![first],
        })
    }

    /// Works on until the ask is one at which `enough` says so, or until nothing more is asked.
    pub fn until(&mut self, enough: impl Fn(&Rebuild, &Ask) -> bool) -> Result<(), Fault> {
        for _ in 0..MOST_ASKS {
            let stamp = self.desk.stamp(Some(self.robot.performer));
            let ask = self.rebuild.ask(self.desk.register(), &stamp);
            if enough(&self.rebuild, &ask) {
                return Ok(());
            }
            match self
                .robot
                .answer(&self.rebuild, self.desk.register(), &stamp, &ask)
            {
                Doing::Nothing => return Ok(()),
                Doing::Waits { .. } => self.time.pass(Duration::from_mins(1)),
                Doing::Types { text, by } => {
                    let command = ask.answer(&text)?;
                    self.does(command, &by)?;
                    // Time passes after the entry, not between question and answer: a zero reading may grow old meanwhile,
                    // and then another question is due.
                    let seconds = self.robot.pace(&ask);
                    self.time.pass(Duration::from_secs(seconds));
                }
            }
        }
        let stamp = self.desk.stamp(Some(self.robot.performer));
        let ask = self.rebuild.ask(self.desk.register(), &stamp);
        Err(Fault::Procedure {
            why: format!(
                "The procedure asks the same again and again: {}",
                ask.prompt
            ),
        })
    }

    /// One command, decided, signed where it must be, and applied.
    pub fn does(&mut self, command: Command, by: &Id) -> Result<(), Fault> {
        let pin = self.pins.get(by).cloned().unwrap_or_default();
        self.desk.check_pin(by, &pin)?;
        let sealed = self.desk.rehearse(&mut self.rebuild, command, by)?;
        self.entries.push(sealed);
        Ok(())
    }

    /// The rebuild and all its entries, in order.
    pub fn finish(self) -> (Rebuild, Vec<Sealed>) {
        (self.rebuild, self.entries)
    }
}
