"""RESTORE.txt: how a copy is put back by hand, in twenty years, with no program of ours.

In: whether the copies are locked, words. Out: text with a few lines for any shell; where the copies
are locked they ask for `age` (or any program that reads age-encryption.org/v1), else for what every
shell has.
"""

from provenance.language.phrases import Phrases

NAME = "RESTORE.txt"
_WIDTH = 78
_PLAIN = """\
cd THIS-FOLDER
to="$HOME/restored"; mkdir -p "$to"
list="lists/$(ls lists | tail -n 1)"
tab=$(printf '\\t')
while IFS="$tab" read -r file digest size time path; do
  case $file in "#"*) continue;; esac
  mkdir -p "$(dirname "$to/$path")"
  cp "$file" "$to/$path"
  touch -d "$time" "$to/$path"
done < "$list"
grep -v '^#' "$list" | while IFS="$tab" read -r file digest size time path; do
  printf '%s  %s\\n' "$digest" "$to/$path"
done | sha256sum -c --quiet
"""
_LOCKED = """\
cd THIS-FOLDER
to="$HOME/restored"; mkdir -p "$to"
umask 077
age -d -o "$to/key.txt" key.age
age -d -i "$to/key.txt" -o "$to/list.txt" "lists/$(ls lists | tail -n 1)"
tab=$(printf '\\t')
while IFS="$tab" read -r file digest size time path; do
  case $file in "#"*) continue;; esac
  mkdir -p "$(dirname "$to/$path")"
  age -d -i "$to/key.txt" -o "$to/$path" "$file" < /dev/null
  touch -d "$time" "$to/$path"
done < "$to/list.txt"
grep -v '^#' "$to/list.txt" | while IFS="$tab" read -r file digest size time path; do
  printf '%s  %s\\n' "$digest" "$to/$path"
done | sha256sum -c --quiet
rm "$to/key.txt" "$to/list.txt"
"""


def restore_text(phrases: Phrases, *, is_locked: bool) -> bytes:
    """The text, in the maker's language; its lines for a shell are the same in any."""
    from textwrap import fill

    kind = "locked" if is_locked else "plain"
    words = ("title", kind, "program", "by_hand", "older", "keys")
    parts = [
        fill(phrases.say(f"second_place.restore_{each}"), _WIDTH, break_on_hyphens=False) + "\n"
        for each in words
    ]
    script = _LOCKED if is_locked else _PLAIN
    parts.insert(4, "".join(f"    {line}\n" for line in script.splitlines()))
    return "\n".join(parts).encode()
