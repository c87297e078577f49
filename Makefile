# hanklab: "make demo" and "make test" do everything; see DEVELOPERS.md.

CC := $(if $(filter default,$(origin CC)),gcc,$(CC))
SAN ?=
WERROR ?=
T ?=
PREFIX ?= /usr/local
comma := ,
empty :=
space := $(empty) $(empty)

# One short line for each step; V=1 shows the whole commands.
V ?=
say = $(if $(V),,@echo "  $(1) $@"; )

BUILD := build/$(CC)$(if $(SAN),-$(subst $(comma),-,$(SAN)))
PACKAGES := sqlite3 lcms2 libjpeg nettle jansson libzip libqrencode

# Asked for when a recipe runs, so that "make need" can install them first.
PKG_CFLAGS = $(shell pkg-config --cflags $(PACKAGES))
PKG_LIBS = $(shell pkg-config --libs $(PACKAGES)) -lcsv -lm
WEB_LIBS = $(shell pkg-config --libs libmicrohttpd libseccomp zlib)

WARN := -Wall -Wextra -Wpedantic -Wshadow -Wvla -Wundef -Wformat=2 \
        -Wwrite-strings -Wstrict-prototypes -Wmissing-prototypes \
        -Wconversion -Wno-sign-conversion -Wno-missing-field-initializers
# clang takes the C library's NAN for a float; gcc sees that it is not.
WARN += $(if $(findstring clang,$(CC)),,-Wdouble-promotion)
CPPFLAGS += -Iinclude -Isrc -I$(BUILD)/gen -D_POSIX_C_SOURCE=200809L \
            -D_FILE_OFFSET_BITS=64
CFLAGS ?= -O2 -g
ALL_CFLAGS = -std=c11 $(WARN) $(if $(WERROR),-Werror) -ffp-contract=off \
             -fstack-protector-strong -fPIE $(CFLAGS)
ifeq ($(SAN),)
ALL_CFLAGS += -U_FORTIFY_SOURCE -D_FORTIFY_SOURCE=2
else
ALL_CFLAGS += -fsanitize=$(SAN) -fno-sanitize-recover=all \
              -fno-omit-frame-pointer
ifneq ($(findstring undefined,$(SAN)),)
ALL_CFLAGS += -fsanitize=float-divide-by-zero,float-cast-overflow
endif
LDFLAGS += -fsanitize=$(SAN)
endif
LDFLAGS += -pie -Wl,-z,relro,-z,now,--as-needed

MODULES := base colour dye draw photo measure book paper cli
SRC := $(sort $(wildcard $(MODULES:%=src/%/*.c)))
LIB_OBJ := $(patsubst %.c,$(BUILD)/%.o, \
               $(filter-out %/main.c %/elsewhere.c,$(SRC))) \
           $(BUILD)/gen/schema.o $(BUILD)/gen/style.o
LIB := $(BUILD)/libhanklab.a
BIN := $(BUILD)/hanklab
EXCHANGE := $(BUILD)/hanklab-exchange
WEB_OBJ := $(patsubst %.c,$(BUILD)/%.o,$(sort $(wildcard src/web/*.c))) \
           $(BUILD)/gen/assets.o
SERVE := $(BUILD)/hanklab-serve
PROGRAMS := $(BIN) $(EXCHANGE) $(SERVE)

TESTS := $(patsubst tests/test_%.c,%,$(sort $(wildcard tests/test_*.c)))
TESTS := $(if $(T),$(filter $(T),$(TESTS)),$(TESTS))
TEST_BIN := $(TESTS:%=$(BUILD)/tests/test_%)
TEST_HELP := $(patsubst %.c,$(BUILD)/%.o, \
               $(filter-out tests/test_%.c,$(sort $(wildcard tests/*.c))))
FUZZ := $(patsubst tests/fuzz/%.c,%,$(sort $(wildcard tests/fuzz/fuzz_*.c)))
FUZZ := $(if $(T),$(filter $(T),$(FUZZ)),$(FUZZ))
FUZZ_REPLAY := $(FUZZ:%=$(BUILD)/fuzz/%)
SCENE_OBJ := $(patsubst %.c,$(BUILD)/%.o,$(sort $(wildcard src/tools/scene/*.c)))
GUILD_OBJ := $(patsubst %.c,$(BUILD)/%.o,$(sort $(wildcard src/tools/guild/*.c)))
TOOLS := $(patsubst src/tools/%.c,%,$(sort $(wildcard src/tools/*.c)))

.PHONY: all hanklab test run-tests demo run-demo need-build need-test \
        need-bench lint format clean install fuzz run-fuzz seeds check scenes \
        pictures tools accuracy bench run-bench bare-root crash faults load
.DELETE_ON_ERROR:
.SECONDARY:

all: $(PROGRAMS) tools $(BUILD)/hanklab.1
hanklab: $(PROGRAMS)
tools: $(TOOLS:%=$(BUILD)/%)

# ---- the two commands -------------------------------------------------------

need-build:
	@CC=$(CC) sh .ci/need build
need-test:
	@CC=$(CC) sh .ci/need build test

test: need-test
	@+$(MAKE) --no-print-directory run-tests
# T names one test in C, which needs no more than itself, or a script.
run-tests: $(TEST_BIN) $(FUZZ_REPLAY) \
    $(if $(and $(T),$(TESTS)$(FUZZ)),,all $(BUILD)/accuracy $(BUILD)/world.so)
	@BUILD=$(BUILD) sh tests/run.sh $(T)

demo: need-build
	@+$(MAKE) --no-print-directory run-demo
run-demo: hanklab $(BUILD)/hanklab.1
	@BUILD=$(BUILD) sh fixtures/demo.sh

# ---- building ---------------------------------------------------------------

$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	$(call say,CC)$(CC) $(CPPFLAGS) $(ALL_CFLAGS) $(PKG_CFLAGS) -MMD -MP -c -o $@ $<

$(BUILD)/gen/%.o: $(BUILD)/gen/%.c
	$(call say,CC)$(CC) $(CPPFLAGS) $(ALL_CFLAGS) -MMD -MP -c -o $@ $<

# Programs that only the build runs: each is one file beside the library.
$(BUILD)/embed: src/tools/embed.c
	@mkdir -p $(@D)
	$(call say,LD)$(CC) $(CPPFLAGS) $(ALL_CFLAGS) -o $@ $< $(LDFLAGS)
$(BUILD)/scene: $(SCENE_OBJ)
$(BUILD)/guild: $(GUILD_OBJ)
$(BUILD)/%: $(BUILD)/src/tools/%.o $(LIB)
	$(call say,LD)$(CC) -o $@ $(filter %.o,$^) $(LIB) $(LDFLAGS) $(PKG_LIBS)

$(BUILD)/gen/schema.c: $(BUILD)/embed schema $(sort $(wildcard schema/*.sql))
	@mkdir -p $(@D)
	$(call say,GEN)$(BUILD)/embed schema $(filter %.sql,$^) >$@.tmp && mv $@.tmp $@

# The style of papers, for those that stand alone.
STYLE := src/web/assets/sheets.css src/web/assets/letter.css
$(BUILD)/gen/style.c: $(BUILD)/embed $(STYLE)
	@mkdir -p $(@D)
	$(call say,GEN)$(BUILD)/embed style $(STYLE) >$@.tmp && mv $@.tmp $@

$(BUILD)/gen/assets.c: $(BUILD)/embed $(sort $(wildcard src/web/assets/*))
	@mkdir -p $(@D)
	$(call say,GEN)$(BUILD)/embed assets $(filter src/web/%,$^) >$@.tmp && mv $@.tmp $@

$(LIB): $(LIB_OBJ)
	@mkdir -p $(@D) && rm -f $@
	$(call say,AR)$(AR) rcs $@ $^

# What is not in the library goes before it: elsewhere.o keeps export and
# import, and so libzip, out of the program that all other commands are.
$(BIN): $(BUILD)/src/cli/main.o $(BUILD)/src/cli/elsewhere.o $(LIB)
$(EXCHANGE): $(BUILD)/src/cli/main.o $(LIB)
$(BIN) $(EXCHANGE):
	$(call say,LD)$(CC) -o $@ $^ $(LDFLAGS) $(PKG_LIBS)

$(BUILD)/hanklab.1: $(BUILD)/manual docs/hanklab.mdoc
	$(call say,MAN)$(BUILD)/manual docs/hanklab.mdoc >$@.tmp && mv $@.tmp $@

# The page, apart from the rest for the libraries it needs.
$(SERVE): $(WEB_OBJ) $(LIB)
	$(call say,LD)$(CC) -o $@ $^ $(LDFLAGS) $(PKG_LIBS) $(WEB_LIBS)

# What tests share: tests/*.c that are no test themselves.
$(BUILD)/tests/help.a: $(TEST_HELP)
	@mkdir -p $(@D) && rm -f $@
	$(call say,AR)$(AR) rcs $@ $^

# A test may replace functions: a line "link: -Wl,--wrap=NAME" in its head.
$(BUILD)/tests/test_%: $(BUILD)/tests/test_%.o $(BUILD)/tests/help.a $(LIB)
	$(call say,LD)$(CC) -o $@ $(filter %.o,$^) $(filter %.a,$^) $(LDFLAGS) \
	    $(shell sed -n 's/^ \* link: //p' tests/test_$*.c) $(PKG_LIBS) $(shell pkg-config --libs cmocka)
$(BUILD)/tests/test_truth $(BUILD)/tests/test_find: | $(BUILD)/scene
$(BUILD)/tests/test_manual: | $(BIN) $(BUILD)/hanklab.1
$(BUILD)/tests/test_guild: | $(BUILD)/guild
$(BUILD)/tests/test_unpack: $(BUILD)/src/web/unpack.o $(BUILD)/src/web/filter.o
$(BUILD)/tests/test_nouns $(BUILD)/tests/test_crash: | $(BIN) $(EXCHANGE)
$(BUILD)/tests/test_power $(BUILD)/tests/test_world: | $(BIN) $(EXCHANGE) \
    $(BUILD)/world.so

# Between a program and its C library (LD_PRELOAD), without sanitizers: theirs
# come first.
$(BUILD)/world.so: tests/shim/world.c
	@mkdir -p $(@D)
	$(call say,LD)$(CC) $(CPPFLAGS) -std=c11 $(WARN) $(if $(WERROR),-Werror) $(CFLAGS) \
	    -shared -fPIC -o $@ $<

FUZZ_LINK = $(shell sed -n 's/^ \* link: //p' tests/fuzz/$*.c)
FUZZ_LIBS = $(PKG_LIBS) $(if $(findstring http,$*),$(WEB_LIBS))
$(BUILD)/fuzz/%: $(BUILD)/tests/fuzz/%.o $(BUILD)/tests/fuzz/replay.o $(LIB)
	@mkdir -p $(@D)
	$(call say,LD)$(CC) -o $@ $(filter %.o,$^) $(LIB) $(LDFLAGS) $(FUZZ_LINK) $(FUZZ_LIBS)

# How accurate, how fast: programs that measure, and judge nothing.
# Those that are not the bench itself, but programs it runs.
RUN_BY_BENCH := accuracy nothing bare small
FIGURES := $(filter-out $(RUN_BY_BENCH:%=tests/figures/%.c), \
             $(sort $(wildcard tests/figures/*.c)))
$(BUILD)/tests/figures/%.o: CPPFLAGS += -Itests
$(BUILD)/accuracy: $(BUILD)/tests/figures/accuracy.o $(BUILD)/tests/help.a $(LIB)
$(BUILD)/bench: $(FIGURES:%.c=$(BUILD)/%.o) $(BUILD)/tests/help.a $(LIB)
$(BUILD)/bench: | $(SERVE) $(BUILD)/nothing $(BUILD)/bare $(BUILD)/regions \
    $(BUILD)/plot $(BUILD)/guild $(BUILD)/terminal $(BUILD)/small $(BUILD)/near_lcms
$(BUILD)/small: $(BUILD)/tests/figures/small.o $(LIB)
$(BUILD)/near_lcms: $(BUILD)/tests/figures/peers/near_lcms.o
$(BUILD)/small $(BUILD)/near_lcms:
	$(call say,LD)$(CC) -o $@ $^ $(LDFLAGS) $(PKG_LIBS)
$(BUILD)/nothing $(BUILD)/bare: $(BUILD)/%: $(BUILD)/tests/figures/%.o
	$(call say,LD)$(CC) -o $@ $< $(LDFLAGS) $(if $(filter bare,$*),$(WEB_LIBS))
$(BUILD)/accuracy $(BUILD)/bench: | $(BIN) $(EXCHANGE) $(BUILD)/scene
	$(call say,LD)$(CC) -o $@ $^ $(LDFLAGS) $(PKG_LIBS) $(shell pkg-config --libs cmocka)

# The same target with clang's fuzzer in front of it instead of saved inputs.
$(BUILD)/fuzzer/%: $(BUILD)/tests/fuzz/%.o $(LIB)
	@mkdir -p $(@D)
	$(call say,LD)$(CC) -fsanitize=fuzzer -o $@ $(filter %.o,$^) $(LIB) $(LDFLAGS) \
	    $(FUZZ_LINK) $(FUZZ_LIBS)

# One speaks to the page's server, which is all of it but its main.
FUZZ_WEB := $(filter-out %/main.o,$(WEB_OBJ))
$(BUILD)/fuzz/fuzz_http $(BUILD)/fuzzer/fuzz_http: $(FUZZ_WEB)

# The first inputs of fuzz_jpeg and fuzz_exif, made anew.
$(BUILD)/fuzz/seeds: $(BUILD)/tests/fuzz/seeds.o $(BUILD)/tests/help.a $(LIB)
	@mkdir -p $(@D)
	$(call say,LD)$(CC) -o $@ $^ $(LDFLAGS) $(PKG_LIBS) $(shell pkg-config --libs cmocka)
seeds: $(BUILD)/fuzz/seeds
	$(BUILD)/fuzz/seeds tests/fuzz/corpus

# The photographs of fixtures/, drawn anew.
SCENES := $(sort $(wildcard fixtures/scenes/*.scene))
scenes: $(BUILD)/scene
	$(call say,DRAW)$(BUILD)/scene fixtures/lots.csv fixtures $(SCENES)
	$(call say,DRAW)for of in known light goes; do $(BUILD)/scene fixtures/lots.csv \
	    fixtures/$$of fixtures/$$of/*.scene || exit; done

# The figures of docs/figures.md, measured anew and written there; minutes.
accuracy: $(BUILD)/accuracy $(BUILD)/bench
	@BUILD=$(BUILD) awk -v build=$(BUILD) -v today=$$(date +%F) \
	    -f tests/figures/write.awk docs/figures.md >$(BUILD)/figures.md
	@cat $(BUILD)/figures.md >docs/figures.md
	@git diff --stat docs/figures.md
# The figures of docs/performance.md, and its lines; all of them take an hour.
# make bench T=measure ROUNDS=25 measures one job so many times.
# What others have, to be run beside it, is installed first where that can be;
# what is not there is named.
ROUNDS ?=
need-bench:
	@CC=$(CC) sh .ci/need build test bench || echo "measured without them"
	@sh tests/figures/peers/need.sh || echo "measured without those of npm"
bench: need-bench
	@+$(MAKE) --no-print-directory run-bench
run-bench: $(BUILD)/bench
	@BUILD=$(BUILD) awk -v build=$(BUILD) -v today=$$(date +%F) -v only="$(T)" \
	    -v rounds="$(ROUNDS)" -f tests/figures/write.awk docs/performance.md \
	    >$(BUILD)/performance.md
	@cat $(BUILD)/performance.md >docs/performance.md
	@set -e; for f in $(BUILD)/growth-*.txt; do [ ! -f "$$f" ] || \
	    $(BUILD)/plot <$$f >docs/$$(basename $${f%.txt}).svg; done
	@git diff -U0 docs/performance.md | sed -n 's/^+//p'

# The pictures of docs/page.md, from the demo book.
pictures: need-test all
	@cd tests/web && npm ci --silent --no-audit --no-fund --ignore-scripts && \
	    BUILD=$(abspath $(BUILD)) node pictures.js

# ---- habits -----------------------------------------------------------------

# make fuzz T=fuzz_NAME SECONDS=600; what it finds is left in build/found. The
# words of NAME.dict are put in too, where there is one.
SECONDS ?= 60
fuzz:
	@CC=clang sh .ci/need build
	@+$(MAKE) --no-print-directory run-fuzz CC=clang \
	    SAN=fuzzer-no-link,address,undefined
run-fuzz: $(FUZZ:%=$(BUILD)/fuzzer/%)
	@set -e; for f in $(FUZZ); do \
	    echo "== $$f"; mkdir -p build/found/$$f; words=tests/fuzz/$${f#fuzz_}.dict; \
	    $(BUILD)/fuzzer/$$f $$([ ! -f $$words ] || echo -dict=$$words) \
	        -max_total_time=$(SECONDS) -timeout=10 -print_final_stats=1 \
	        -artifact_prefix=build/found/ build/found/$$f \
	        tests/fuzz/corpus/$${f#fuzz_}; \
	done

# hanklab killed so often at times by chance; each act broken at every place,
# and the power cut at thousands of moments.
KILLS ?= 1000
crash: need-test
	@+HANKLAB_TEST_KILLS=$(KILLS) $(MAKE) --no-print-directory run-tests T=crash
faults: need-test
	@+HANKLAB_TEST_WHOLE=1 $(MAKE) --no-print-directory run-tests T=faults
	@+HANKLAB_TEST_WHOLE=1 $(MAKE) --no-print-directory run-tests T=power

# Photos spoiled by chance, so many, each measured in a process of its own.
MUTATED ?= 100000
hostile: need-test
	@+HANKLAB_TEST_HOSTILE=$(MUTATED) $(MAKE) --no-print-directory run-tests T=hostile

# Twenty devices in a shared book for so long, one of them uploading.
load: SECONDS = 600
load: need-test hanklab
	@BUILD=$(abspath $(BUILD)) HANKLAB_TEST_SECONDS=$(SECONDS) sh tests/web/run.sh load

lint:
	@sh .ci/need build test lint
	@+$(MAKE) --no-print-directory $(BUILD)/hanklab.1
	@MANUAL=$(BUILD)/hanklab.1 LINT_FLAGS="$(CPPFLAGS) -Itests -std=c11 $(WARN) $(PKG_CFLAGS)" sh .ci/lint

format:
	@sh .ci/need lint
	@git ls-files -co --exclude-standard '*.c' '*.h' | xargs clang-format -i

check: lint
	+$(MAKE) test WERROR=1
	+$(MAKE) test WERROR=1 CC=clang
	+$(MAKE) test WERROR=1 CC=clang SAN=address,undefined

# Both commands in a bare Debian 12; takes minutes and root, so not in check.
bare-root:
	@sh tests/bare-root.sh

clean:
	rm -rf build demo-book

SHARE = $(DESTDIR)$(PREFIX)/share
install: $(PROGRAMS) $(BUILD)/hanklab.1
	install -D -m 755 -t $(DESTDIR)$(PREFIX)/bin $(PROGRAMS)
	install -D -m 644 $(BUILD)/hanklab.1 $(SHARE)/man/man1/hanklab.1
	install -d $(SHARE)/bash-completion/completions $(SHARE)/zsh/site-functions \
	    $(SHARE)/fish/vendor_completions.d
	$(BIN) completion bash >$(SHARE)/bash-completion/completions/hanklab
	$(BIN) completion zsh >$(SHARE)/zsh/site-functions/_hanklab
	$(BIN) completion fish >$(SHARE)/fish/vendor_completions.d/hanklab.fish

-include $(shell find $(BUILD) -name '*.d' 2>/dev/null)
