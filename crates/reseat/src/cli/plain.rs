//! `reseat --plain`: a rebuild by question and answer on plain lines.

use std::io::{self, BufRead, BufReader, IsTerminal, Read};
use std::time::Duration;

use reseat_record::log::Id;
use reseat_record::text::folded;
use zeroize::Zeroizing;

use super::out::Out;
use super::secret::{Known, Source, hidden_in_silence};
use super::verify::record;
use super::{Answer, Context, Stop};
use crate::desk::Desk;
use crate::line::{self, Done, Heard, Part, Spoilt, Talk, Trouble, Wish};

/// Longest line taken, in bytes: the longest text four times over.
const LONGEST_LINE: usize = 8192;

#[derive(Debug, clap::Args)]
pub(super) struct Plain {
    /// Lead through a rebuild on plain lines, for screen readers, serial consoles and scripts
    #[arg(long = "plain", id = "plain")]
    pub(super) wanted: bool,
    /// With --plain: the open rebuild to take up, by its identifier or a beginning of it
    #[arg(long, value_name = "ID", requires = "plain", conflicts_with = "tag")]
    rebuild: Option<String>,
    /// With --plain: the tag of the unit; its open rebuild is taken up, or a new one started
    #[arg(long, value_name = "TAG", requires = "plain")]
    tag: Option<String>,
    #[command(flatten)]
    source: Source,
}

impl Plain {
    /// Whether anything was said that belongs to line mode.
    pub(super) fn given(&self) -> bool {
        self.wanted || self.source.given()
    }
}

pub(super) fn run(args: &Plain, context: &mut Context) -> Result<Answer, Stop> {
    let known = args.source.known()?;
    let mut desk = context.work()?;
    let wish = wish(args, &desk)?;
    let mut console = Console::new(&mut context.out, known)?;
    match line::run(&mut desk, &mut console, wish) {
        Ok(Done::Ended) => Ok(Answer::Yes),
        Ok(Done::NotEnded) => {
            context.out.aside(
                "The input ended before the rebuild did. What was written stands; taken up again, zero is read anew.",
            );
            Ok(Answer::No)
        }
        Err(Trouble::Lost(stop)) => Err(stop),
        // Whatever ends the talk is no answer of the rebuild's: it could not be asked.
        Err(Trouble::Fault(fault)) => Err(Stop::words(fault.sentence(), fault.remedy())),
    }
}

fn wish(args: &Plain, desk: &Desk) -> Result<Wish, Stop> {
    if let Some(typed) = &args.rebuild {
        let stream = record(desk.history(), typed)?;
        return Ok(Wish::TakeUp {
            stream,
            tag_typed: false,
        });
    }
    let Some(tag) = &args.tag else {
        return Ok(Wish::Start { tag: None });
    };
    let row = desk
        .home_rows()?
        .into_iter()
        .find(|row| !row.tag.is_empty() && folded(&row.tag) == folded(tag));
    match row {
        None => Err(Stop::words(
            format!("No place \"{tag}\" is on the register."),
            "Read the tag again; `reseat units` lists them.",
        )),
        Some(row) => Ok(match row.open {
            Some(stream) => Wish::TakeUp {
                stream,
                tag_typed: true,
            },
            None => Wish::Start {
                tag: Some(tag.clone()),
            },
        }),
    }
}

/// Standard input and output, line by line.
struct Console<'a> {
    out: &'a mut Out,
    known: Known,
    lines: BufReader<Box<dyn Read>>,
    #[cfg(unix)]
    input: std::fs::File,
}

impl<'a> Console<'a> {
    #[cfg(unix)]
    fn new(out: &'a mut Out, known: Known) -> Result<Self, Stop> {
        use std::os::fd::AsFd;
        // Its own descriptor, so that nothing is kept back in a buffer that cannot be looked into.
        let open = || {
            io::stdin()
                .as_fd()
                .try_clone_to_owned()
                .map(std::fs::File::from)
        };
        let (read, input) = (open().map_err(|error| unread(&error))?, open());
        Ok(Self {
            out,
            known,
            lines: BufReader::new(Box::new(read)),
            input: input.map_err(|error| unread(&error))?,
        })
    }

    #[cfg(not(unix))]
    #[expect(clippy::unnecessary_wraps, reason = "the other systems may fail")]
    fn new(out: &'a mut Out, known: Known) -> Result<Self, Stop> {
        Ok(Self {
            out,
            known,
            lines: BufReader::new(Box::new(io::stdin())),
        })
    }

    /// Waits for input; false where none came in time.
    #[cfg(unix)]
    fn comes(&self, patience: Duration) -> Result<bool, Stop> {
        use rustix::event::{PollFd, PollFlags, Timespec, poll};
        let seconds = i64::try_from(patience.as_secs()).unwrap_or(i64::MAX);
        let limit = Timespec {
            tv_sec: seconds,
            tv_nsec: 0,
        };
        loop {
            let mut watched = [PollFd::new(&self.input, PollFlags::IN)];
            match poll(&mut watched, Some(&limit)) {
                Err(rustix::io::Errno::INTR) => {}
                Err(error) => return Err(unread(&error.into())),
                Ok(count) => return Ok(count > 0),
            }
        }
    }

    /// Where the system cannot be asked, the line that comes late is judged by its time.
    #[cfg(not(unix))]
    #[expect(clippy::unnecessary_wraps, reason = "the other systems may fail")]
    fn comes(&self, _: Duration) -> Result<bool, Stop> {
        Ok(true)
    }
}

fn unread(error: &io::Error) -> Stop {
    Stop::words(
        format!("The input cannot be read: {error}."),
        "What was written stands; start again.",
    )
}

/// One line without its end, read to no more than a limit.
fn next_line(lines: &mut impl BufRead) -> io::Result<Heard> {
    let mut line: Vec<u8> = Vec::new();
    let mut too_long = false;
    loop {
        let chunk = match lines.fill_buf() {
            Err(error) if error.kind() == io::ErrorKind::Interrupted => continue,
            chunk => chunk?,
        };
        if chunk.is_empty() {
            return Ok(if line.is_empty() && !too_long {
                Heard::End
            } else {
                Heard::Spoilt(Spoilt::Cut)
            });
        }
        let end = chunk.iter().position(|byte| *byte == b'\n');
        let part = &chunk[..end.unwrap_or(chunk.len())];
        too_long |= line.len() + part.len() > LONGEST_LINE;
        if !too_long {
            line.extend_from_slice(part);
        }
        let used = end.map_or(chunk.len(), |end| end + 1);
        lines.consume(used);
        if end.is_some() {
            break;
        }
    }
    if too_long {
        return Ok(Heard::Spoilt(Spoilt::TooLong));
    }
    Ok(match String::from_utf8(line) {
        Ok(text) => Heard::Line(text.trim_end_matches('\r').to_owned()),
        Err(_) => Heard::Spoilt(Spoilt::NotText),
    })
}

impl Talk for Console<'_> {
    type Lost = Stop;

    fn say(&mut self, line: &str) -> Result<(), Stop> {
        self.out.line(line)
    }

    fn hear(&mut self, patience: Option<Duration>) -> Result<Heard, Stop> {
        // A script or a reader at the other end sees the question before it is waited for.
        self.out.finish()?;
        if let Some(patience) = patience
            && self.lines.buffer().is_empty()
            && !self.comes(patience)?
        {
            return Ok(Heard::Silence);
        }
        next_line(&mut self.lines).map_err(|error| unread(&error))
    }

    fn secret(
        &mut self,
        id: Id,
        name: &str,
        part: Part,
    ) -> Result<Option<Zeroizing<String>>, Stop> {
        if let Some(secret) = self.known.of(&[name, &id.to_string()]) {
            return Ok(Some(match part {
                Part::Passphrase => secret.passphrase.clone(),
                Part::Pin => secret.pin.clone(),
            }));
        }
        if !io::stdin().is_terminal() {
            return Ok(None);
        }
        self.out.finish()?;
        let question = match part {
            Part::Passphrase => format!("Passphrase of {name}: "),
            Part::Pin => format!("PIN of {name}: "),
        };
        match hidden_in_silence(&question, self.out) {
            Ok(secret) => Ok(Some(secret)),
            Err(Stop::InputEnded) => Ok(None),
            Err(stop) => Err(stop),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(bytes: &[u8]) -> Vec<Heard> {
        let mut lines = BufReader::with_capacity(7, bytes);
        let mut heard = Vec::new();
        loop {
            match next_line(&mut lines).unwrap() {
                Heard::End => return heard,
                one => heard.push(one),
            }
        }
    }

    #[test]
    fn lines_come_whole_or_not_at_all() {
        assert_eq!(
            all(b"done\r\n\n12.5\nsecond pa"),
            [
                Heard::Line("done".into()),
                Heard::Line(String::new()),
                Heard::Line("12.5".into()),
                Heard::Spoilt(Spoilt::Cut)
            ]
        );
    }

    #[test]
    fn a_line_without_end_takes_no_memory_and_the_next_is_heard() {
        let mut bytes = vec![b'x'; LONGEST_LINE + 1];
        bytes.extend(b"\nok\n\xff\n");
        assert_eq!(
            all(&bytes),
            [
                Heard::Spoilt(Spoilt::TooLong),
                Heard::Line("ok".into()),
                Heard::Spoilt(Spoilt::NotText)
            ]
        );
    }
}
