//! The home folder: where one laptop's history and locks stand.
//!
//! Which folder that is, the program decides; what it must be like is checked here. It must be given by its whole
//! path (a relative one would give another, empty history in another folder) and lie on a disk of this computer (the
//! write-ahead log needs memory shared between programs, which a network file system does not give). On Linux the
//! mount table tells; on Windows a `\\server` path is refused; elsewhere only the answer to `journal_mode=WAL` guards.

use std::fs::{self, DirBuilder, OpenOptions};
use std::path::{Component, Path, PathBuf, Prefix};

use reseat_record::log::Id;

use crate::fault::StorageFault;

/// A home folder whose place has been checked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Home {
    root: PathBuf,
}

impl Home {
    /// Checks the folder, makes it (readable by its owner only) where it is missing, and proves that it can be written.
    pub fn open(root: impl Into<PathBuf>) -> Result<Self, StorageFault> {
        let home = Self::placed(root.into())?;
        make_folder(&home.locks())?;
        probe(&home.root)?;
        Ok(home)
    }

    /// Whether a home could be made here, tried on the nearest folder that stands; nothing is left behind.
    ///
    /// # Errors
    /// [`StorageFault::HomeNotWritable`], and as [`Home::look`] for the place itself.
    pub fn could_be_made(root: impl Into<PathBuf>) -> Result<(), StorageFault> {
        let home = Self::placed(root.into())?;
        let standing = home.root.ancestors().find(|part| part.exists());
        let standing = standing.unwrap_or(&home.root);
        probe(standing)
    }

    /// Checks the folder and makes nothing: for reading only.
    pub fn look(root: impl Into<PathBuf>) -> Result<Self, StorageFault> {
        let home = Self::placed(root.into())?;
        if home.database().is_file() {
            Ok(home)
        } else {
            Err(StorageFault::NoHistory {
                path: home.database(),
            })
        }
    }

    /// The folder.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// The file the history is kept in.
    pub fn database(&self) -> PathBuf {
        self.root.join("history.db")
    }

    /// The folder of the locks, one file a stream.
    pub fn locks(&self) -> PathBuf {
        self.root.join("locks")
    }

    /// The lock file of one stream.
    pub fn lock_file(&self, stream: &Id) -> PathBuf {
        self.locks().join(stream.to_string())
    }

    fn placed(root: PathBuf) -> Result<Self, StorageFault> {
        if !root.is_absolute() {
            return Err(StorageFault::RelativeHome { path: root });
        }
        if let Some(kind) = network_kind(&root) {
            return Err(StorageFault::NetworkHome { path: root, kind });
        }
        Ok(Self { root })
    }
}

/// Makes a file in the folder and takes it away again.
fn probe(folder: &Path) -> Result<(), StorageFault> {
    let file = folder.join(format!(".write-test-{}", std::process::id()));
    let written = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(true)
        .open(&file);
    written.map_err(|error| not_writable(folder, &error))?;
    fs::remove_file(&file).map_err(|error| not_writable(&file, &error))
}

fn not_writable(path: &Path, error: &std::io::Error) -> StorageFault {
    StorageFault::HomeNotWritable {
        path: path.to_path_buf(),
        why: error.to_string(),
    }
}

/// Makes a folder and its parents. Sealed keys stand in a home, so others on the computer have no business in it.
fn make_folder(path: &Path) -> Result<(), StorageFault> {
    let mut builder = DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder
        .create(path)
        .map_err(|error| not_writable(path, &error))
}

/// The type of the network file system that `path` would lie on, if it is one.
fn network_kind(path: &Path) -> Option<String> {
    if let Some(Component::Prefix(prefix)) = path.components().next()
        && matches!(prefix.kind(), Prefix::UNC(..) | Prefix::VerbatimUNC(..))
    {
        return Some("a shared folder".into());
    }
    let mounts = fs::read_to_string("/proc/self/mountinfo").ok()?;
    // Links are followed as far as the path exists; the rest will be made below that point.
    let standing = path
        .ancestors()
        .find_map(|part| Some((part, part.canonicalize().ok()?)));
    let real = standing.map_or_else(
        || path.to_path_buf(),
        |(part, real)| real.join(path.strip_prefix(part).unwrap_or(Path::new(""))),
    );
    network_mount(&mounts, &real)
}

/// Finds the mount that `path` lies on in the text of `/proc/self/mountinfo` (form: proc(5)) and gives its file-system
/// type if that is one shared over a network. A later line covers an earlier one at the same point.
fn network_mount(mounts: &str, path: &Path) -> Option<String> {
    let mut nearest: Option<(usize, &str)> = None;
    for line in mounts.lines() {
        let Some((left, right)) = line.split_once(" - ") else {
            continue;
        };
        let (Some(point), Some(kind)) = (left.split(' ').nth(4), right.split(' ').next()) else {
            continue;
        };
        let point = PathBuf::from(unescaped(point));
        if path.starts_with(&point) {
            let depth = point.components().count();
            if nearest.is_none_or(|(other, _)| depth >= other) {
                nearest = Some((depth, kind));
            }
        }
    }
    nearest
        .map(|(_, kind)| kind)
        .filter(|kind| is_network(kind))
        .map(str::to_owned)
}

/// Undoes the octal escapes of a mount point (`\040` is a space).
fn unescaped(text: &str) -> String {
    let mut out = Vec::with_capacity(text.len());
    let mut rest = text.as_bytes();
    while let Some((&first, tail)) = rest.split_first() {
        let octal = tail
            .get(..3)
            .and_then(|digits| std::str::from_utf8(digits).ok());
        match octal.and_then(|digits| u8::from_str_radix(digits, 8).ok()) {
            Some(byte) if first == b'\\' => {
                out.push(byte);
                rest = &tail[3..];
            }
            _ => {
                out.push(first);
                rest = tail;
            }
        }
    }
    String::from_utf8_lossy(&out).into_owned()
}

/// File-system types of the Linux kernel and of common mounts in user space that are shared between computers.
fn is_network(kind: &str) -> bool {
    const NETWORK: [&str; 20] = [
        "nfs",
        "nfs4",
        "cifs",
        "smb3",
        "smbfs",
        "9p",
        "afs",
        "ceph",
        "coda",
        "davfs",
        "glusterfs",
        "lustre",
        "ncpfs",
        "ocfs2",
        "gfs2",
        "orangefs",
        "beegfs",
        "vboxsf",
        "virtiofs",
        "fuse.gvfsd-fuse",
    ];
    const NETWORK_FUSE: [&str; 8] = [
        "sshfs",
        "rclone",
        "s3fs",
        "glusterfs",
        "davfs",
        "ceph",
        "smb",
        "nfs",
    ];
    NETWORK.contains(&kind)
        || kind
            .strip_prefix("fuse.")
            .is_some_and(|name| NETWORK_FUSE.iter().any(|part| name.starts_with(part)))
}

#[cfg(test)]
mod tests {
    use super::*;

    // Form of a line: proc(5), "/proc/pid/mountinfo"; the mounts are invented.
    const MOUNTS: &str = "\
22 1 259:2 / / rw,relatime shared:1 - ext4 /dev/root rw
30 22 0:30 / /home rw - nfs4 tern:/home rw,vers=4.2
31 30 259:3 / /home/bench rw - ext4 /dev/other rw
32 22 0:31 / /mnt/bench\\040share rw - cifs //tern/share rw
33 22 0:32 / /media/over rw - nfs tern:/x rw
34 22 0:33 / /media/over rw - tmpfs tmpfs rw
35 22 0:34 / /mnt/far rw master:2 - fuse.sshfs lead@tern: rw
";

    fn kind(path: &str) -> Option<String> {
        network_mount(MOUNTS, Path::new(path))
    }

    #[test]
    fn the_longest_mount_point_decides() {
        assert_eq!(kind("/home/reseat").as_deref(), Some("nfs4"));
        assert_eq!(kind("/home/bench/reseat"), None);
        assert_eq!(kind("/var/lib/reseat"), None);
        assert_eq!(
            kind("/homely/reseat"),
            None,
            "a mount point is a whole component"
        );
    }

    #[test]
    fn escapes_fuse_and_covered_mounts_are_read() {
        assert_eq!(kind("/mnt/bench share/reseat").as_deref(), Some("cifs"));
        assert_eq!(kind("/mnt/far/reseat").as_deref(), Some("fuse.sshfs"));
        assert_eq!(
            kind("/media/over/reseat"),
            None,
            "the later mount covers the earlier"
        );
    }

    #[test]
    fn a_line_of_another_form_is_passed_over() {
        assert_eq!(network_mount("nonsense\n\n - \n", Path::new("/x")), None);
        assert_eq!(unescaped("a\\04"), "a\\04");
        assert_eq!(unescaped("a\\134b"), "a\\b");
    }
}
