#!/bin/sh
# Writes C source that holds the texts of files; used by the Makefile only.
#
#   embed.sh table NAME FILE...        const struct embedded_file NAME[], each file under its own name; .md is cut off
#   embed.sh pages KINDS.def FOLDER    const char claim_page_ID[] for each row KIND(ID, ...), from FOLDER/ID.md
#   embed.sh pages-header KINDS.def    their declarations
set -eu
LC_ALL=C
export LC_ALL

# One string literal a line. A question mark is escaped because C11 still reads trigraphs. A page that is not written yet is
# empty (the tests ask for every page).
literal() {
    printf '    ""\n'
    [ -f "$1" ] || return 0
    sed -e 's/\\/\\\\/g' -e 's/"/\\"/g' -e 's/?/\\?/g' -e 's/^/    "/' -e 's/$/\\n"/' "$1"
}

kinds() {
    sed -n 's/^KIND(\([a-z_0-9]*\),.*/\1/p' "$1"
}

mode=$1
case $mode in
table)
    table=$2
    shift 2
    printf '#include "base/embed.h"\n\n#include <stddef.h>\n\n'
    n=0
    for file in "$@"; do
        printf 'static const char text_%d[] =\n' "$n"
        literal "$file"
        printf '    ;\n\n'
        n=$((n + 1))
    done
    printf 'const struct embedded_file %s[] = {\n' "$table"
    n=0
    for file in "$@"; do
        name=${file##*/}
        printf '    {"%s", text_%d, sizeof text_%d - 1},\n' "${name%.md}" "$n" "$n"
        n=$((n + 1))
    done
    printf '    {NULL, NULL, 0},\n};\n'
    ;;
pages)
    printf '#include "claims/pages.h"\n\n'
    for id in $(kinds "$2"); do
        printf 'const char claim_page_%s[] =\n' "$id"
        literal "$3/$id.md"
        printf '    ;\n\n'
    done
    ;;
pages-header)
    printf '/* The page of each claim kind, compiler/claims/ID.md. */\n'
    for id in $(kinds "$2"); do
        printf 'extern const char claim_page_%s[];\n' "$id"
    done
    ;;
*)
    printf 'embed.sh: unknown mode %s\n' "$mode" >&2
    exit 2
    ;;
esac
