#!/bin/sh
# Builds every example, each into its own folder, and says how its claims stand and what was written.
set -eu
descant=$1
out=$2
status=0
for file in examples/*.descant; do
    # Libraries are used by the episodes; they have no outputs of their own to show.
    grep -q '^library' "$file" && continue
    name=$(basename "$file" .descant)
    "$descant" build --out "$out/$name" "$file" || status=$?
done
printf 'The outputs are in %s/: .md show notes, .vtt and .srt captions, .mid demos, .json the whole model.\n' "$out"
exit $status
