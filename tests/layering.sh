#!/bin/sh
# Which folder of compiler/ may include from which: the pipeline is the folder list, and nothing points back up it. Includes
# without a folder (generated or the system's) are not looked at.
set -eu
cd "$(dirname "$0")/.."
LC_ALL=C
export LC_ALL

find compiler -name '*.[ch]' -o -name '*.def' | sort | xargs awk '
BEGIN {
    allow("base", "base")
    allow("theory", "base theory")
    allow("source", "base source")
    allow("diag", "base source diag")
    allow("syntax", "base source diag syntax")
    allow("sema", "base source diag syntax theory sema")
    allow("claims", "base source diag theory sema claims")
    allow("checks", "base source diag syntax theory sema claims checks")
    allow("back", "base source diag theory sema claims back")
    allow("driver", "base source diag syntax theory sema claims checks back driver")
    allow("cli", "base source diag sema claims back driver cli")
    # One list of codes: a claim kind is registered in its own table, and the table of codes takes it in.
    fine["compiler/diag/codes.def:claims/kinds.def"] = 1
}
function allow(folder, list,    words, n, i) {
    known[folder] = 1
    n = split(list, words, " ")
    for (i = 1; i <= n; i++)
        fine[folder ":" words[i]] = 1
}
FNR == 1 {
    split(FILENAME, path, "/")
    folder = path[2]
    if (!(folder in known))
        complain("a folder that has no place in the pipeline")
}
/^#include "/ {
    split($2, quoted, "\"")
    if (split(quoted[2], part, "/") > 1) {
        checked++
        if (!((folder ":" part[1]) in fine) && !((FILENAME ":" quoted[2]) in fine))
            complain(folder "/ may not include " part[1] "/")
    }
}
function complain(what) {
    printf "%s:%d: %s\n", FILENAME, FNR, what > "/dev/stderr"
    failed++
}
END {
    printf "layering: %d passed, %d failed\n", checked - failed, failed
    exit failed > 0
}'
