//! `reseat demo`: an invented site to try the program on.

use std::io::IsTerminal;
use std::path::PathBuf;

use super::{Answer, Context, Stop, screens, table};
use crate::demo;

#[derive(Debug, clap::Args)]
pub(super) struct Args {
    /// Which site
    #[arg(long, value_name = "NAME", default_value = demo::SITES[0], value_parser = demo::SITES)]
    site: String,
    /// Folder of the demo's home, by its whole path; otherwise below the user's data folder
    #[arg(long, value_name = "DIR")]
    at: Option<PathBuf>,
    /// Make it anew, as of today; what was recorded in it is gone
    #[arg(long)]
    fresh: bool,
    /// Make it and end; the screens do not open
    #[arg(long)]
    no_screen: bool,
}

pub(super) fn run(args: Args, context: &mut Context) -> Result<Answer, Stop> {
    let root = context.around.demo(args.at, &args.site)?;
    if args.fresh {
        demo::clear(&root)?;
    }
    let said = if demo::stands(&root)? {
        "taken up again"
    } else {
        context.out.aside("Making the demo site, two years of it …");
        let time = Context::time()?;
        demo::make(&root, demo::now(time.as_ref()))?;
        "made"
    };
    let out = &mut context.out;
    out.line(&format!(
        "Tern Point, an invented site, {said} in {}",
        root.display()
    ))?;
    out.line("")?;
    let rows: Vec<Vec<String>> = demo::people()
        .into_iter()
        .map(|person| {
            vec![
                person.name.to_owned(),
                person.passphrase.to_owned(),
                person.pin.to_owned(),
                person.roles,
            ]
        })
        .collect();
    table::print(out, &["person", "passphrase", "PIN", "roles"], &rows)?;
    out.line("")?;
    out.line("FV-3302 was left in the middle of its bonnet joint. Ines Falk takes it up.")?;
    out.finish()?;
    if args.no_screen {
        return Ok(Answer::Yes);
    }
    if std::io::stdin().is_terminal() && std::io::stdout().is_terminal() {
        // The screens cover what was printed, and a passphrase is the first thing they ask for.
        out.prompt("Note her passphrase and PIN, and Sefton's, who releases zero. Enter opens the screens. ");
        let mut line = String::new();
        match std::io::stdin().read_line(&mut line) {
            Ok(1..) => {}
            _ => return Err(Stop::InputEnded),
        }
    }
    screens::on(&root, context)
}
