//! Refuses a ledger on a network file system: SQLite's locks do not hold there between computers.
//!
//! Linux tells the kind of each mount in `/proc/self/mounts`. Elsewhere nothing is refused.

use crate::tickets::store::StoreError;
use std::path::Path;

/// Kinds of file systems that several computers can mount at once.
const NETWORK: &[&str] = &[
    "nfs",
    "nfs4",
    "cifs",
    "smb3",
    "smbfs",
    "ncpfs",
    "afs",
    "ceph",
    "coda",
    "glusterfs",
    "lustre",
    "davfs",
    "fuse.sshfs",
    "fuse.ceph",
    "fuse.glusterfs",
    "fuse.davfs2",
    "fuse.rclone",
    "fuse.s3fs",
    "fuse.smbnetfs",
    "gfs2",
    "ocfs2",
    "beegfs",
    "orangefs",
];

/// Fails where `path` lies on a network file system.
pub(super) fn refuse_network(path: &Path) -> Result<(), StoreError> {
    if cfg!(target_os = "linux") {
        let folder = path.parent().unwrap_or(path);
        let real = folder.canonicalize();
        let mounts = std::fs::read_to_string("/proc/self/mounts").unwrap_or_default();
        if let Some(kind) = real.ok().and_then(|real| network_kind(&mounts, &real)) {
            return Err(StoreError::Network {
                path: path.to_owned(),
                kind: kind.to_owned(),
            });
        }
    }
    Ok(())
}

/// The kind of the network file system that `path` lies on, by a table of mounts.
fn network_kind<'a>(mounts: &'a str, path: &Path) -> Option<&'a str> {
    let mut kind = None;
    let mut longest = 0;
    for line in mounts.lines() {
        let mut fields = line.split(' ').skip(1);
        let (Some(point), Some(found)) = (fields.next(), fields.next()) else {
            continue;
        };
        let point = unescaped(point);
        // A later mount over the same point hides the earlier one.
        if path.starts_with(&point) && point.len() >= longest {
            longest = point.len();
            kind = Some(found);
        }
    }
    kind.filter(|kind| NETWORK.contains(kind))
}

/// Takes back the octal escapes of spaces and the like.
fn unescaped(point: &str) -> String {
    let mut out = point.to_owned();
    for (escape, plain) in [
        ("\\040", " "),
        ("\\011", "\t"),
        ("\\012", "\n"),
        ("\\134", "\\"),
    ] {
        out = out.replace(escape, plain);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_deepest_mount_decides() {
        let mounts = "/dev/a / ext4 rw 0 0\nserver:/x /mnt/team\\040share nfs4 rw 0 0\n\
                      /dev/b /mnt/team\\040share/local ext4 rw 0 0\n//s/y /mnt/y cifs rw 0 0\n\
                      /dev/c /mnt/y ext4 rw 0 0\nproc /proc proc rw 0 0\nbroken\n";
        for (path, kind) in [
            ("/mnt/desk/kb/.state", None),
            ("/mnt/team share/kb/.state", Some("nfs4")),
            ("/mnt/team share/local/kb", None),
            ("/mnt/team shared", None),
            ("/mnt/y/kb", None),
        ] {
            assert_eq!(network_kind(mounts, Path::new(path)), kind, "{path}");
        }
    }
}
