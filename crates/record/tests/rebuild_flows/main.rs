//! What a real day holds, flow by flow, on FV-3302: each through the questions asked, as a technician meets it.

#![allow(clippy::unwrap_used, clippy::panic)] // test code: a failure is what the test shows

mod findings;
mod joints;
mod readings;
#[path = "../rebuild_site/mod.rs"]
mod rebuild_site;
mod signatures;
mod stops;

use rebuild_site::Site;
use reseat_record::rebuild::{Ask, Ended, Inner, Point};

/// At the last pass of the bonnet joint, fastener 1 due.
fn last_pass() -> Site {
    let mut site = Site::at("tighten-j1");
    site.goes_on(|ask| fastener(ask) == Some((1, 3)));
    site
}

fn fastener(ask: &Ask) -> Option<(u32, u32)> {
    match ask.point {
        Point::Asked(_, _, Inner::Fastener(fastener, pass, _)) => Some((fastener, pass)),
        _ => None,
    }
}

fn signed(mut site: Site) {
    site.until("");
    assert_eq!(
        site.rebuild().ended(),
        Some(Ended::Signed),
        "{:#?}",
        site.ask()
    );
}
