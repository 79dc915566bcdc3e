//! Nobody says anything for long: the work pauses by itself.

use reseat::desk::{Desk, SetTime};
use reseat::line::{self, Done, Heard, Part, Talk, Wish};
use reseat_record::log::Id;

use crate::house::{CLOCK, House, SECRETS};
use crate::{STARTS, close_the_open_one};

/// Says its lines, then nothing for as long as anybody waits, then no more.
struct Silent {
    lines: Vec<&'static str>,
    said: Vec<String>,
    patience: Vec<Option<std::time::Duration>>,
    /// Lets the line after the silence come late instead, as on a system that cannot wake up in time.
    late: Option<SetTime>,
    silences: u32,
}

impl Talk for Silent {
    type Lost = ();

    fn say(&mut self, line: &str) -> Result<(), ()> {
        self.said.push(line.to_owned());
        Ok(())
    }

    fn hear(&mut self, patience: Option<std::time::Duration>) -> Result<Heard, ()> {
        self.patience.push(patience);
        if !self.lines.is_empty() {
            return Ok(Heard::Line(self.lines.remove(0).to_owned()));
        }
        self.silences += 1;
        Ok(match (self.silences, &self.late) {
            (1, None) => Heard::Silence,
            (1, Some(time)) => {
                time.pass(patience.unwrap() + std::time::Duration::from_secs(1));
                Heard::Line("allowed".to_owned())
            }
            _ => Heard::End,
        })
    }

    fn secret(
        &mut self,
        _: Id,
        name: &str,
        part: Part,
    ) -> Result<Option<zeroize::Zeroizing<String>>, ()> {
        let line = SECRETS.lines().find(|line| line.starts_with(name)).unwrap();
        let field = match part {
            Part::Passphrase => 1,
            Part::Pin => 2,
        };
        Ok(Some(line.split('\t').nth(field).unwrap().to_owned().into()))
    }
}

#[test]
fn nothing_said_for_long_pauses_and_a_line_that_comes_after_it_is_not_taken() {
    for late in [false, true] {
        let house = House::demo();
        close_the_open_one(&house);
        let time = SetTime::at(CLOCK).unwrap();
        let mut desk = Desk::open(&house.home(), Box::new(time.clone())).unwrap();
        let mut silent = Silent {
            lines: STARTS.lines().chain(["= PTW 1, 24 h"]).collect(),
            said: Vec::new(),
            patience: Vec::new(),
            late: late.then_some(time),
            silences: 0,
        };
        let wish = Wish::Start {
            tag: Some("FV-3302".into()),
        };
        let done = line::run(&mut desk, &mut silent, wish).unwrap_or_else(|_| panic!("{late}"));
        assert_eq!(done, Done::NotEnded);
        let last = silent.said.last().unwrap();
        assert!(
            last.starts_with("? signature -: Who takes the work up"),
            "{last}"
        );
        assert_eq!(
            silent.patience.iter().rev().take(2).collect::<Vec<_>>(),
            [&None, &Some(std::time::Duration::from_mins(10))],
            "no pause of a pause"
        );
        let stream = desk.past("TP-0388").unwrap()[0].stream;
        let rebuild = desk.look(&stream).unwrap();
        assert!(rebuild.is_paused());
        assert_eq!(rebuild.head().number, 3, "started, wrote, paused");
    }
}
