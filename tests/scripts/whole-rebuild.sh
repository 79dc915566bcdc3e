#!/bin/sh
# A whole rebuild of FV-3302 in line mode, in a demo home of its own.
#
#   whole-rebuild.sh [RESEAT]      RESEAT is the program, by default the one in PATH
#
# Exit 0 if the rebuild is signed at the end; else the exit code of what failed.
set -eu

reseat=${1:-reseat}
here=$(CDPATH='' cd -- "$(dirname -- "$0")" && pwd)
folder=$(mktemp -d)
trap 'rm -rf "$folder"' EXIT INT TERM
home=$folder/home
secrets=$folder/secrets

"$reseat" demo --no-screen --at "$home" >"$folder/made"

# The people of the demo, as the demo prints them: one person a line, TAB, passphrase, TAB, PIN.
umask 077
printf '%s\t%s\t%s\n' \
    'Mbali Sefton' 'tern lead hand' 240600 \
    'Ines Falk' 'tern day shift' 240601 \
    'Rurik Odde' 'tern late shift' 240602 \
    'Piet Vrang' 'tern control room' 240603 \
    'Yara Quist' 'tern approves it' 240605 >"$secrets"

# The demo leaves FV-3302 in the middle of a joint; a unit has one open rebuild, so that one is closed first.
"$reseat" --home "$home" --plain --tag FV-3302 --passphrase-file "$secrets" <<'END' >"$folder/closed"
Ines Falk
close-incomplete given up for the script; bonnet on, J1 not tight
END

"$reseat" --home "$home" --plain --tag FV-3302 --passphrase-file "$secrets" <"$here/fv-3302.txt"
