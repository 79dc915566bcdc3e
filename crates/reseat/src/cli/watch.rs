//! Waiting until one of some files was written anew: woken by the system, never by looking again and again.
//!
//! Editors save by writing a new file and renaming it over the old one, so the folders are watched, not the files.

use std::path::PathBuf;

use super::Stop;

#[cfg(not(target_os = "linux"))]
pub(super) use elsewhere::Watch;
#[cfg(target_os = "linux")]
pub(super) use linux::Watch;

#[cfg(target_os = "linux")]
mod linux {
    use std::collections::BTreeSet;
    use std::ffi::OsStr;
    use std::mem::MaybeUninit;
    use std::os::fd::OwnedFd;
    use std::os::unix::ffi::OsStrExt;
    use std::path::Path;

    use rustix::fs::inotify::{self, CreateFlags, ReadFlags, WatchFlags};
    use rustix::io::Errno;

    use super::{PathBuf, Stop};

    /// Files whose folders are watched.
    pub(in super::super) struct Watch {
        events: OwnedFd,
        /// Number of a folder's watch, and the name of a file in it.
        files: BTreeSet<(i32, Vec<u8>)>,
    }

    fn failed(what: &str, error: Errno) -> Stop {
        Stop::words(
            format!("{what} cannot be watched: {error}."),
            "Run reseat check without --watch, after each change.",
        )
    }

    impl Watch {
        /// Begins to watch. What is written from now on wakes [`Watch::wait`].
        pub(in super::super) fn begin(files: &[PathBuf]) -> Result<Self, Stop> {
            let events =
                inotify::init(CreateFlags::CLOEXEC).map_err(|error| failed("A file", error))?;
            let mut watched = BTreeSet::new();
            for file in files {
                let folder = match file.parent() {
                    Some(folder) if !folder.as_os_str().is_empty() => folder,
                    _ => Path::new("."),
                };
                let Some(name) = file.file_name() else {
                    return Err(Stop::words(
                        format!("{} is no file.", file.display()),
                        "Give the path of a procedure file.",
                    ));
                };
                let flags = WatchFlags::CLOSE_WRITE | WatchFlags::MOVED_TO | WatchFlags::ONLYDIR;
                let number = inotify::add_watch(&events, folder, flags)
                    .map_err(|error| failed(&folder.display().to_string(), error))?;
                watched.insert((number, name.as_bytes().to_vec()));
            }
            Ok(Self {
                events,
                files: watched,
            })
        }

        /// Sleeps until one of the files was written or replaced, or events were lost.
        pub(in super::super) fn wait(&mut self) -> Result<(), Stop> {
            let mut space = [MaybeUninit::uninit(); 4096];
            let mut events = inotify::Reader::new(&self.events, &mut space);
            loop {
                let event = match events.next() {
                    Ok(event) => event,
                    Err(Errno::INTR) => continue,
                    Err(error) => return Err(failed("The folder", error)),
                };
                let lost = event.events().contains(ReadFlags::QUEUE_OVERFLOW);
                let name = event.file_name().map_or(&b""[..], |name| name.to_bytes());
                if event.events().contains(ReadFlags::IGNORED) {
                    return Err(Stop::words(
                        format!("The folder of {} is gone.", self.named(event.wd())),
                        "Start again where the file is now.",
                    ));
                }
                if lost || self.files.contains(&(event.wd(), name.to_vec())) {
                    return Ok(());
                }
            }
        }

        fn named(&self, watch: i32) -> String {
            self.files
                .iter()
                .find(|(number, _)| *number == watch)
                .map_or_else(String::new, |(_, name)| {
                    OsStr::from_bytes(name).to_string_lossy().into_owned()
                })
        }
    }
}

#[cfg(not(target_os = "linux"))]
mod elsewhere {
    use super::{PathBuf, Stop};

    /// Cannot be had on this system.
    pub(in super::super) enum Watch {}

    impl Watch {
        pub(in super::super) fn begin(_files: &[PathBuf]) -> Result<Self, Stop> {
            Err(Stop::words(
                "--watch is not supported on this system: it wakes on file events of Linux only.",
                "Run reseat check without --watch, after each change.",
            ))
        }

        pub(in super::super) fn wait(&mut self) -> Result<(), Stop> {
            match *self {}
        }
    }
}
