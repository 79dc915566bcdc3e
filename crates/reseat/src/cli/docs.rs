//! The page of commands, made from the same definition that reads them.

use clap::CommandFactory;

use super::Args;

/// `docs/commands.md`, whole.
pub fn commands_page() -> String {
    let mut page = String::from(
        "# Commands\n\n\
         This page is made from the program's own definition of its commands; a test keeps the two the same.\n\n\
         Exit codes: 0 done; 1 the answer is no (findings, refused, tampered, input ended early); 2 it could not be asked or done.\n",
    );
    let mut root = Args::command()
        .term_width(100)
        .color(clap::ColorChoice::Never);
    root.build();
    add(&mut page, &root, "");
    page
}

fn add(page: &mut String, command: &clap::Command, before: &str) {
    let name = if before.is_empty() {
        command.get_name().to_owned()
    } else {
        format!("{before} {}", command.get_name())
    };
    let mut shown = command
        .clone()
        .term_width(100)
        .color(clap::ColorChoice::Never);
    page.extend(["\n## ", &name, "\n\n```text\n"]);
    for line in shown.render_long_help().to_string().trim_end().lines() {
        page.push_str(line.trim_end());
        page.push('\n');
    }
    page.push_str("```\n");
    for part in command
        .get_subcommands()
        .filter(|part| part.get_name() != "help")
    {
        add(page, part, &name);
    }
}
