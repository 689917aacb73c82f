# Descant. `make` builds build/descant; `make demo` and `make test` install what they need first.

# V=1 shows the commands.
Q := $(if $(V),,@)
say = $(if $(V),,@printf '%-7s %s\n' $(1) $(2))

BUILD := build
GEN := build/gen
CC := gcc
AR := ar
OPT := -O2 -g
SANITIZE :=

PACKAGES := libcmark libcjson libutf8proc
LIB_CFLAGS = $(shell pkg-config --cflags $(PACKAGES))
LIBS = $(shell pkg-config --libs $(PACKAGES)) -lm -pthread

WARN := -Wall -Wextra -Wshadow -Wstrict-prototypes -Wmissing-prototypes -Wpointer-arith -Wcast-qual \
	-Wwrite-strings -Wconversion -Wvla -Wformat=2 -Werror
# What re2c and lemon write is not ours to restyle.
WARN_GEN := -Wall -Wno-unused -Werror -DNDEBUG
# Outputs must not depend on where the project lies.
BASE_CFLAGS = -std=c11 -D_XOPEN_SOURCE=700 $(OPT) $(SANITIZE) -ffile-prefix-map=$(CURDIR)=. \
	-Icompiler -Igrammar -I$(GEN) $(LIB_CFLAGS) -MMD -MP

SOURCES := $(sort $(wildcard compiler/*/*.c))
GEN_SOURCES := $(GEN)/stdlib.c $(GEN)/explain.c $(GEN)/claim_pages.c
GEN_HEADERS := $(GEN)/claims/pages.h
ifneq ($(wildcard grammar/lex.re),)
GEN_SOURCES += $(GEN)/lex.c
endif
ifneq ($(wildcard grammar/parse.y),)
GEN_SOURCES += $(GEN)/parse.c
GEN_HEADERS += $(GEN)/parse.h
endif

OBJECTS := $(SOURCES:%.c=$(BUILD)/obj/%.o) $(GEN_SOURCES:$(GEN)/%.c=$(BUILD)/obj/gen/%.o) $(BUILD)/obj/standard.o
CLI_OBJECTS := $(filter $(BUILD)/obj/compiler/cli/%,$(OBJECTS))
LIB_OBJECTS := $(filter-out $(CLI_OBJECTS),$(OBJECTS))
# All that reading the standard library takes, without the tables that are made of it.
FREEZE_OBJECTS := $(filter-out $(BUILD)/obj/standard.o $(BUILD)/obj/compiler/driver/context.o,$(LIB_OBJECTS))
THEORY_OBJECTS := $(filter $(BUILD)/obj/compiler/theory/% $(BUILD)/obj/compiler/base/%,$(OBJECTS))

# One program a file. Those of the theory link nothing else, which proves that it stands alone.
UNIT_SOURCES := $(sort $(wildcard tests/unit/*.c tests/reference/*.c))
UNITS := $(UNIT_SOURCES:tests/%.c=$(BUILD)/tests/%)
UNITS_THEORY := $(filter $(BUILD)/tests/unit/theory%,$(UNITS))

.DELETE_ON_ERROR:
.SUFFIXES:
.PHONY: all deps demo test check bench bless asan units fuzz fuzzers layering clean

all: $(BUILD)/descant $(BUILD)/libdescant.a $(BUILD)/libtheory.a

$(BUILD)/descant: $(CLI_OBJECTS) $(BUILD)/libdescant.a
	$(call say,link,$@)
	$(Q)$(CC) $(OPT) $(SANITIZE) -o $@ $^ $(LIBS)

$(BUILD)/libdescant.a: $(LIB_OBJECTS)
	$(Q)rm -f $@
	$(call say,ar,$@)
	$(Q)$(AR) rcsD $@ $^

$(BUILD)/libtheory.a: $(THEORY_OBJECTS)
	$(Q)rm -f $@
	$(call say,ar,$@)
	$(Q)$(AR) rcsD $@ $^

$(BUILD)/obj/compiler/%.o: compiler/%.c | $(GEN_HEADERS)
	@mkdir -p $(@D)
	$(call say,cc,$<)
	$(Q)$(CC) $(BASE_CFLAGS) $(WARN) -c -o $@ $<

$(BUILD)/obj/gen/%.o: $(GEN)/%.c | $(GEN_HEADERS)
	@mkdir -p $(@D)
	$(call say,cc,$<)
	$(Q)$(CC) $(BASE_CFLAGS) $(WARN_GEN) -c -o $@ $<

$(UNITS_THEORY): $(BUILD)/tests/%: tests/%.c $(BUILD)/libtheory.a
	@mkdir -p $(@D)
	$(call say,link,$@)
	$(Q)$(CC) $(BASE_CFLAGS) $(WARN) -Itests -o $@ $< $(BUILD)/libtheory.a -lm

$(filter-out $(UNITS_THEORY),$(UNITS)): $(BUILD)/tests/%: tests/%.c $(BUILD)/libdescant.a
	@mkdir -p $(@D)
	$(call say,link,$@)
	$(Q)$(CC) $(BASE_CFLAGS) $(WARN) -Itests -o $@ $< $(BUILD)/libdescant.a $(LIBS)

# The fuzz targets once over their seeds and over random changes of them; and as fuzzers, for clang's libFuzzer.
FUZZ_SHARED := $(filter-out tests/fuzz/replay.c tests/fuzz/libfuzzer.c,$(sort $(wildcard tests/fuzz/*.c)))
FUZZ_TARGETS := compile claim narration format outputs words
FUZZERS := $(FUZZ_TARGETS:%=$(BUILD)/tests/fuzz/fuzz-%)

$(BUILD)/tests/fuzz/replay: tests/fuzz/replay.c $(FUZZ_SHARED) $(wildcard tests/fuzz/*.h) $(BUILD)/libdescant.a
	@mkdir -p $(@D)
	$(call say,link,$@)
	$(Q)$(CC) $(filter-out -MMD -MP,$(BASE_CFLAGS)) $(WARN) -Itests -o $@ $(filter %.c,$^) $(BUILD)/libdescant.a $(LIBS)

$(FUZZERS): $(BUILD)/tests/fuzz/fuzz-%: tests/fuzz/libfuzzer.c $(FUZZ_SHARED) $(wildcard tests/fuzz/*.h) $(BUILD)/libdescant.a
	@mkdir -p $(@D)
	$(call say,link,$@)
	$(Q)$(CC) $(filter-out -MMD -MP,$(BASE_CFLAGS)) $(WARN) -Itests -DFUZZ_TARGET='"$*"' -fsanitize=fuzzer -o $@ \
		$(filter %.c,$^) $(BUILD)/libdescant.a $(LIBS)

units: $(UNITS) $(BUILD)/tests/fuzz/replay
fuzzers: $(FUZZERS)

# ---- generated C -------------------------------------------------------------------------------

# The lists are files of their own, so that a page or library that goes away rebuilds its table.
STDLIB_FILES := $(sort $(wildcard stdlib/*.descant))
EXPLAIN_FILES := $(sort $(wildcard compiler/diag/explain/*.md))

$(GEN)/%.list: FORCE
	@mkdir -p $(@D)
	@printf '%s\n' $(LIST) | cmp -s - $@ || printf '%s\n' $(LIST) >$@
$(GEN)/stdlib.list: LIST = $(STDLIB_FILES)
$(GEN)/explain.list: LIST = $(EXPLAIN_FILES)
.PHONY: FORCE
FORCE:

$(GEN)/stdlib.c: $(STDLIB_FILES) $(GEN)/stdlib.list grammar/embed.sh
	$(call say,embed,$@)
	$(Q)sh grammar/embed.sh table stdlib_files $(STDLIB_FILES) >$@

$(GEN)/explain.c: $(EXPLAIN_FILES) $(GEN)/explain.list grammar/embed.sh
	$(call say,embed,$@)
	$(Q)sh grammar/embed.sh table explain_pages $(EXPLAIN_FILES) >$@

# The standard library is read here, once, and not whenever the program starts.
$(BUILD)/freeze: grammar/freeze.c $(FREEZE_OBJECTS)
	$(call say,link,$@)
	$(Q)$(CC) $(BASE_CFLAGS) $(WARN) -o $@ $^ $(LIBS)

$(BUILD)/obj/standard.c: $(BUILD)/freeze
	$(call say,freeze,$@)
	$(Q)$(BUILD)/freeze >$@

$(BUILD)/obj/standard.o: $(BUILD)/obj/standard.c
	$(call say,cc,$<)
	$(Q)$(CC) $(BASE_CFLAGS) $(WARN_GEN) -c -o $@ $<

CLAIM_PAGES := $(wildcard compiler/claims/*.md)

$(GEN)/claim_pages.c: compiler/claims/kinds.def $(CLAIM_PAGES) grammar/embed.sh
	@mkdir -p $(@D)
	$(call say,embed,$@)
	$(Q)sh grammar/embed.sh pages compiler/claims/kinds.def compiler/claims >$@

$(GEN)/claims/pages.h: compiler/claims/kinds.def grammar/embed.sh
	@mkdir -p $(@D)
	$(call say,embed,$@)
	$(Q)sh grammar/embed.sh pages-header compiler/claims/kinds.def >$@

# A rule a word of the language.
$(GEN)/keywords.re: grammar/tokens.def
	@mkdir -p $(@D)
	$(call say,words,$<)
	$(Q)sed -n 's/^KEYWORD(\([A-Z_]*\), "\([a-z-]*\)").*/"\2" { token = TOK_\1; break; }/p' $< >$@

$(GEN)/lex.c: grammar/lex.re $(GEN)/keywords.re
	@mkdir -p $(@D)
	$(call say,re2c,$<)
	$(Q)re2c -W -Werror --no-generation-date -I $(GEN) --depfile $@.d -o $@ $<

# lemon names its outputs after the grammar and writes them all at once. -c: no default reductions, for they would be
# tried after %fallback and make a field's keyword the next value of the field before it.
$(GEN)/parse.c: grammar/parse.y
	@mkdir -p $(@D)
	$(call say,lemon,$<)
	$(Q)lemon -q -c -d$(GEN) $<

$(GEN)/parse.h: $(GEN)/parse.c ;

-include $(OBJECTS:.o=.d) $(UNITS:=.d) $(GEN)/lex.c.d

# ---- everything else ---------------------------------------------------------------------------

# Sub-makes compile in parallel, unless make was told how.
JOBS = $(if $(filter -j%,$(MAKEFLAGS)),,-j$(shell nproc))

deps:
	@sh .ci/deps

demo: deps
	@$(MAKE) --no-print-directory $(JOBS) all
	@sh tests/demo.sh $(BUILD)/descant out

# Warnings are judged in the plain build: the sanitizers' own code makes gcc 12 see faults that are not there.
asan:
	@$(MAKE) --no-print-directory BUILD=build/asan WARN=-w WARN_GEN='-w -DNDEBUG' OPT='-O1 -g -fno-omit-frame-pointer' \
		SANITIZE='-fsanitize=address,undefined -fno-sanitize-recover=all' all units

test: deps
	@$(MAKE) --no-print-directory $(JOBS) all units
	@$(MAKE) --no-print-directory $(JOBS) asan
	@sh tests/run.sh

# SECONDS for each target; needs clang with its runtime libraries. What is found stays in build/fuzz/found/.
SECONDS := 60
fuzz:
	@$(MAKE) --no-print-directory BUILD=build/fuzz CC=clang WARN=-w WARN_GEN='-w -DNDEBUG' OPT='-O1 -g -fno-omit-frame-pointer' \
		SANITIZE='-fsanitize=fuzzer-no-link,address,undefined -fno-sanitize-recover=all' fuzzers
	@sh tests/fuzz/run.sh build/fuzz $(SECONDS) $(FUZZ_TARGETS)

check: all units
	@sh tests/run.sh --quick

bench: all $(BUILD)/tests/bench/measure
	@sh tests/bench.sh $(BUILD)/descant $(BUILD)/tests/bench/measure

$(BUILD)/tests/bench/measure: tests/bench/measure.c
	@mkdir -p $(@D)
	$(call say,link,$@)
	$(Q)$(CC) $(BASE_CFLAGS) $(WARN) -o $@ $<

bless: all
	@node tests/run.mjs --bless

layering:
	@sh tests/layering.sh

clean:
	rm -rf build out
