# bakeset: build, test, install. `make help` lists the targets.

VERSION  := 0.1.0
SOVERSION := 0

CC       ?= gcc
BUILD    ?= build
PREFIX   ?= /usr/local
DESTDIR  ?=
OPTIMISE ?= -O2
# Compilers and tests at a time.
CORES    := $(shell nproc 2>/dev/null || echo 1)
WARN     := -Wall -Wextra -Wpedantic -Wshadow -Wconversion
CFLAGS   ?= $(OPTIMISE) -g
ALL_CFLAGS = -std=c11 -D_POSIX_C_SOURCE=200809L -DBAKESET_VERSION='"$(VERSION)"' \
             -Iinclude -Isrc -isystem /usr/include/libxml2 -fPIC -fvisibility=hidden $(WARN) $(CFLAGS)
LIBS     := -lcjson -lunistring -lxml2 -lm

# What is needed to build, and to test beyond that.
PACKAGES      := libc6-dev libcjson-dev libunistring-dev libxml2-dev libcurl4-openssl-dev libexpat1-dev libmicrohttpd-dev \
                 libqrencode-dev nettle-dev tzdata
TEST_PACKAGES := libcmocka-dev libical-dev python3 radicale openssl pkg-config mandoc procps tmux zbar-tools

# The network is the command's, not the library's.
CMD_SRC := $(sort $(wildcard src/command/*.c src/page/*.c src/publish/*.c)) src/main.c
LIB_SRC := $(filter-out $(CMD_SRC),$(sort $(wildcard src/*.c src/*/*.c src/*/*/*.c)))
CMD_LIBS := -lcurl -lexpat -lmicrohttpd -lnettle -lqrencode -lcjson -lunistring -lpthread
LIB_OBJ := $(LIB_SRC:%.c=$(BUILD)/%.o)
CMD_OBJ := $(CMD_SRC:%.c=$(BUILD)/%.o)

# Each tests/*/test_*.c is one program; the other files there are shared by the
# programs of their folder, those of tests/support by all.
TEST_SRC   := $(sort $(filter-out tests/cli/% tests/bench/%,$(wildcard tests/*/test_*.c)))
TEST_BIN   := $(TEST_SRC:%.c=$(BUILD)/%)
TEST_SHARED := $(filter-out $(TEST_SRC) tests/fuzz/%,$(wildcard $(addsuffix *.c,$(sort $(dir $(TEST_SRC))) tests/support/)))
TEST_SHARED_OBJ := $(TEST_SHARED:%.c=$(BUILD)/%.o)
# Each tests/bench/bench*.c is one program, likewise.
BENCH_SRC  := $(sort $(wildcard tests/bench/bench*.c))
BENCH_SHARED_OBJ := $(patsubst %.c,$(BUILD)/%.o,$(filter-out $(BENCH_SRC),$(sort $(wildcard tests/bench/*.c))))

STATIC := $(BUILD)/libbakeset.a
SHARED := $(BUILD)/libbakeset.so.$(VERSION)
BAKESET := $(BUILD)/bakeset

.PHONY: all help deps test-deps demo test unit cli check-asan check-clang check-clang-part check-tsan check-shared check-clients check-schemas check-page mutants schema fuzz fuzz-deps fuzz-targets benches bench bench-page bench-heat bench-growth bench-impossible bench-dinners bench-day install uninstall clean check-format format
.SUFFIXES:
.SECONDARY:

all: $(BAKESET) $(STATIC) $(SHARED)

help:
	@echo "make              the command and the library, in $(BUILD)/"
	@echo "make demo         installs what is missing, builds, plans the demo menu"
	@echo "make test         installs what is missing, builds, runs every test"
	@echo "make check-asan   the same tests under AddressSanitizer and UBSan"
	@echo "make check-clang  the same, built by clang; check-clang-part: some of them, as CI does"
	@echo "make check-tsan   two threads with a session each, under ThreadSanitizer"
	@echo "make mutants [ONLY=WORD]  breaks the code in many places: a test must notice each"
	@echo "make schema       docs/*.schema.json and the tables of keys, from src/plan/keys.c"
	@echo "make check-shared the command against the shared library"
	@echo "make fuzz [FUZZ_SECONDS=20]  each reader of foreign input under clang's fuzzer"
	@echo "make check-clients  the calendar file through independent readers and clients"
	@echo "make check-schemas  the schemas of plans and timelines through an independent validator"
	@echo "make check-page   the page in Chromium: clock, ticks, phone, paper, keyboard, dark"
	@echo "make bench DATA=DIR [SECONDS=30]   published scheduling instances"
	@echo "make bench-heat, bench-growth, bench-impossible, bench-dinners, bench-day   speed of cooling"
	@echo "                  estimates; of large plans; of a no; of made-up dinners; of a day that slips"
	@echo "make bench-page [MINUTES=10]  the page with 20 phones and a tick a second"
	@echo "make install [PREFIX=/usr/local] [DESTDIR=]"
	@echo "make deps         installs what is missing (root), or names it"

# ------------------------------------------------------------- dependencies

# Node stands for its packages, wherever it is from.
define need-packages
@missing=; for p in $(1); do \
  case $$p in nodejs) command -v node ;; npm) command -v npm ;; *) false ;; esac >/dev/null || \
  dpkg-query -W -f='$${Status}' $$p 2>/dev/null | grep -q '^install ok installed' || missing="$$missing $$p"; \
done; \
if [ -n "$$missing" ]; then \
  if [ "$$(id -u)" = 0 ]; then \
    echo "installing:$$missing" >&2; \
    apt-get update -qq && DEBIAN_FRONTEND=noninteractive apt-get install -y -qq --no-install-recommends $$missing >/dev/null; \
  else \
    echo "missing packages:$$missing" >&2; \
    echo "install them as root: apt-get install$$missing" >&2; exit 1; \
  fi; \
fi
endef

deps:
	$(call need-packages,$(PACKAGES))

test-deps: deps
	$(call need-packages,$(TEST_PACKAGES))

# -------------------------------------------------------------------- build

# The page's stylesheet and script as C, the script with its digest.
$(BUILD)/src/write/page/page.css.inc $(BUILD)/src/write/page/page.js.inc: $(BUILD)/%.inc: % src/write/page/embed.sh
	@mkdir -p $(@D)
	sh src/write/page/embed.sh bk_html_$(if $(filter %.css,$<),style,script) $< > $@.new && mv $@.new $@
$(BUILD)/src/write/page/face.o: $(BUILD)/src/write/page/page.css.inc $(BUILD)/src/write/page/page.js.inc
$(BUILD)/src/write/page/face.o: ALL_CFLAGS += -I$(BUILD)/src

# The files of the page's site as C.
SITE := $(sort $(wildcard src/page/site/*))
$(BUILD)/src/page/site.inc: $(SITE) src/page/embed.sh
	@mkdir -p $(@D)
	sh src/page/embed.sh $(SITE) > $@.new && mv $@.new $@
$(BUILD)/src/page/embedded.o: $(BUILD)/src/page/site.inc
$(BUILD)/src/page/embedded.o: ALL_CFLAGS += -I$(BUILD)/src

# The search has the time to win: a tenth, as measured.
$(BUILD)/src/engine/%.o: OPTIMISE = -O3
$(BUILD)/tests/%.o: ALL_CFLAGS += -Itests
$(BUILD)/%.o: %.c
	@mkdir -p $(@D)
	$(CC) $(ALL_CFLAGS) -MMD -MP -c $< -o $@

# Two archives in one: the objects again, for the tests that look inside.
$(STATIC): $(LIB_OBJ)
	@rm -f $@
	$(AR) qcs $@ $^

SHARED_WHOLE := -Wl,--no-undefined
$(SHARED): $(LIB_OBJ)
	$(CC) $(CFLAGS) $(LDFLAGS) -shared -Wl,-soname,libbakeset.so.$(SOVERSION) $(SHARED_WHOLE) $^ $(LIBS) -o $@
	@ln -sf $(@F) $(BUILD)/libbakeset.so.$(SOVERSION)
	@ln -sf $(@F) $(BUILD)/libbakeset.so

$(BAKESET): $(CMD_OBJ) $(STATIC)
	$(CC) $(CFLAGS) $(LDFLAGS) $^ $(LIBS) $(CMD_LIBS) -o $@

# The command as any program stands on the library: nothing but what bakeset.h exports.
$(BUILD)/bakeset-shared: $(CMD_OBJ) $(SHARED)
	$(CC) $(CFLAGS) $(LDFLAGS) $(CMD_OBJ) -L$(BUILD) -Wl,-rpath,'$$ORIGIN' -lbakeset $(CMD_LIBS) -o $@

# --------------------------------------------------------------------- demo

demo: deps
	@$(MAKE) --no-print-directory -s -j$(CORES) all
	@mkdir -p $(BUILD)/demo
	$(BAKESET) timeline plans/winter-holiday.json --ics $(BUILD)/demo/winter-holiday.ics \
	  --json=$(BUILD)/demo/winter-holiday.json --svg $(BUILD)/demo/winter-holiday.svg \
	  --html $(BUILD)/demo/winter-holiday.html
	@echo
	@echo "Written: $(BUILD)/demo/winter-holiday.ics (import it on your phone), .json, .svg, .html"
	@echo "To plan, and to follow the day, on a page: $(BAKESET) page plans"

# -------------------------------------------------------------------- tests

comma := ,
# The shared helpers of a folder go into that folder's tests only.
define test-program
$(BUILD)/$(1:%.c=%): $(BUILD)/$(1:%.c=%.o) $(filter $(BUILD)/$(dir $(1))% $(BUILD)/tests/support/%,$(TEST_SHARED_OBJ)) $(STATIC)
	$$(CC) $$(CFLAGS) $$(LDFLAGS) $$(filter-out $(STATIC),$$^) $(STATIC) -lcmocka $$(TEST_LIBS) $$(LIBS) -o $$@
endef
$(foreach source,$(TEST_SRC),$(eval $(call test-program,$(source))))

# Requests for memory go through the test, which lets them fail.
$(BUILD)/tests/api/test_memory: LDFLAGS += -Wl,--wrap=malloc,--wrap=calloc,--wrap=realloc,--wrap=free
$(BUILD)/tests/learn/test_learn: LDFLAGS += -Wl,--wrap=malloc,--wrap=calloc
# The other reader of what is written.
$(BUILD)/tests/write/test_ics: TEST_LIBS := -lical
# The parts that must be right go through the test, which makes them wrong.
$(BUILD)/tests/schedule/test_trust: LDFLAGS += -Wl,--wrap=bk_solve,--wrap=bk_verify,--wrap=bk_content_add,--wrap=bk_content_add_text
# Calls to the system go through the test, which lets them fail and kills at them.
$(BUILD)/tests/day/test_journal_faults: LDFLAGS += $(addprefix -Wl$(comma)--wrap=,open pread pwrite read fsync ftruncate flock fstat stat unlink close)
$(BUILD)/tests/api/test_threads: LDFLAGS += -pthread
# What the library does not have.
$(BUILD)/tests/publish/test_answers: $(filter $(BUILD)/src/publish/%,$(CMD_OBJ))
$(BUILD)/tests/page/test_%: LIBS := $(LIBS) $(CMD_LIBS)
$(BUILD)/tests/page/test_guard: $(BUILD)/src/page/guard.o
$(BUILD)/tests/page/test_folder: $(BUILD)/src/page/folder.o
$(BUILD)/tests/page/test_keys: $(BUILD)/src/page/folder.o $(BUILD)/src/page/keys.o
$(BUILD)/tests/page/test_work: $(BUILD)/src/page/work.o
$(BUILD)/tests/page/test_kept: $(addprefix $(BUILD)/src/page/,kept.o answers.o folder.o)
$(BUILD)/tests/publish/test_answers: LIBS := $(LIBS) $(CMD_LIBS)

test: test-deps
	@$(MAKE) --no-print-directory -s -j$(CORES) all tests
	@BAKESET=$(BAKESET) BUILD=$(BUILD) JOBS=$(CORES) sh tests/run.sh $(TEST_BIN)

.PHONY: tests
tests: $(TEST_BIN)

check-asan: test-deps
	@$(MAKE) --no-print-directory test BUILD=$(BUILD)/asan \
	  CFLAGS="-O1 -g -Werror -fno-omit-frame-pointer -fsanitize=address,undefined -fno-sanitize-recover=all"

# The same built by clang, whose undefined-behaviour sanitizer sees more; and a part of it that CI has
# time for. Clang links its sanitizers into the program alone: a shared library of that build looks for them there.
CLANG := clang
CLANG_FLAGS := -O1 -g -Werror -fno-omit-frame-pointer -fsanitize=address,undefined -fno-sanitize-recover=all
CLANG_PART := explain/test_why verify/test_verify safety/test_safety icalendar/test_busy icalendar/test_events \
  $(addprefix plan/test_,read corpus cooling ask_cooling tins)
check-clang: fuzz-deps
	@$(MAKE) --no-print-directory test BUILD=$(BUILD)/clang CC="$(CLANG)" CFLAGS="$(CLANG_FLAGS)" SHARED_WHOLE=

check-clang-part: fuzz-deps
	@$(MAKE) --no-print-directory -s -j$(CORES) BUILD=$(BUILD)/clang CC="$(CLANG)" CFLAGS="$(CLANG_FLAGS)" \
	  $(CLANG_PART:%=$(BUILD)/clang/tests/%)
	@for t in $(CLANG_PART); do $(BUILD)/clang/tests/$$t || exit 1; done

# Two threads with a session each.
check-tsan: test-deps
	@$(MAKE) --no-print-directory -s -j$(CORES) BUILD=$(BUILD)/tsan CFLAGS="-O1 -g -Werror -fsanitize=thread" \
	  $(BUILD)/tsan/tests/api/test_threads
	TSAN_OPTIONS=halt_on_error=1 $(BUILD)/tsan/tests/api/test_threads

# Tests of the command line with the command linked against the shared library.
SHARED_TESTS := outputs usage why cooling publish
check-shared: test-deps
	@$(MAKE) --no-print-directory -s $(BUILD)/bakeset-shared
	@for t in $(SHARED_TESTS); do \
	  BAKESET=$(BUILD)/bakeset-shared BUILD=$(BUILD) sh tests/cli/test_$$t.sh || exit 1; done

# The calendar file through independent readers and clients, which this installs.
check-clients: deps
	$(call need-packages,python3-icalendar python3-vobject python3-dateutil khal vdirsyncer radicale nodejs npm)
	@$(MAKE) --no-print-directory -s -j$(CORES) all
	@BAKESET=$(BAKESET) BUILD=$(BUILD) sh tests/clients/run.sh

# The schemas of docs through an independent validator, which this installs.
check-schemas: deps
	$(call need-packages,nodejs npm)
	@$(MAKE) --no-print-directory -s -j$(CORES) all
	@BAKESET=$(BAKESET) BUILD=$(BUILD) sh tests/schema/check.sh

# The page in a browser, which this installs.
check-page: deps
	$(call need-packages,chromium poppler-utils nodejs npm fonts-liberation)
	@$(MAKE) --no-print-directory -s -j$(CORES) all
	@BAKESET=$(BAKESET) BUILD=$(BUILD) sh tests/page/run.sh

# Each mutation of tests/mutants/mutants.txt, which its test must notice.
mutants: test-deps
	BUILD=$(BUILD) CC="$(CC)" python3 tests/mutants/run.py $(ONLY)

# docs/*.schema.json of plan files and the tables of docs/plan-format.md, from src/plan/keys.c.
schema: test-deps
	@$(MAKE) --no-print-directory -s $(BUILD)/tests/schema/test_schema
	@$(BUILD)/tests/schema/test_schema --update

# --------------------------------------------------------------------- fuzz

# Each target of tests/fuzz with clang's fuzzer, for SECONDS; a crash ends it with the input.
FUZZ := $(patsubst tests/fuzz/fuzz_%.c,%,$(wildcard tests/fuzz/fuzz_*.c))
FUZZ_BUILD := $(BUILD)/fuzz$(if $(FUZZ_FAST),-fast)
FUZZ_FLAGS := -O2 -g -Werror -fno-omit-frame-pointer -fno-sanitize-recover=all
fuzz-deps: test-deps
	$(call need-packages,clang libclang-rt-14-dev)

fuzz-targets: fuzz-deps
	@$(MAKE) --no-print-directory -s -j$(CORES) BUILD=$(FUZZ_BUILD) CC="$(CLANG)" \
	  CFLAGS="$(FUZZ_FLAGS) $(FUZZ_SIGHT)" \
	  $(FUZZ:%=$(FUZZ_BUILD)/fuzz_%)

# Each is linked with what it asks for and no more: the fuzzer looks at every counter after every input. FUZZ_FAST=1:
# counters alone, neither comparisons nor words compared, which takes half of the time; long runs do both.
FUZZ_WRAPPED := bk_zone_open bk_zone_nearest bk_trial_run bk_rule_expand
FUZZ_ENGINE = $(if $(FUZZ_FAST),-Wl$(comma)-z$(comma)muldefs $(shell $(CLANG) -print-file-name=libclang_rt.fuzzer-$(shell uname -m).a) -lstdc++,\
  -fsanitize=fuzzer)
FUZZ_SIGHT := $(if $(FUZZ_FAST),-fsanitize=address$(comma)undefined -fsanitize-coverage=inline-8bit-counters$(comma)pc-table,\
  -fsanitize=fuzzer-no-link$(comma)address$(comma)undefined)
FUZZ_PARTS := $(addprefix $(BUILD)/tests/fuzz/,zones.o trials.o rules.o $(if $(FUZZ_FAST),no_hooks.o))
$(BUILD)/fuzz_%: $(BUILD)/tests/fuzz/fuzz_%.o $(FUZZ_PARTS) $(STATIC)
	$(CC) $(CFLAGS) $(LDFLAGS) $(FUZZ_WRAPPED:%=-Wl,--wrap=%) $^ $(FUZZ_ENGINE) $(LIBS) $(CMD_LIBS) -o $@
$(BUILD)/fuzz_multistatus: $(addprefix $(BUILD)/src/publish/,multistatus.o keep.o)

fuzz: fuzz-targets
	@BUILD=$(FUZZ_BUILD) SECONDS_EACH=$(if $(FUZZ_SECONDS),$(FUZZ_SECONDS),20) sh tests/fuzz/run.sh $(FUZZ)

# -------------------------------------------------------------------- bench

SECONDS ?= 30
$(BENCH_SRC:%.c=$(BUILD)/%): $(BUILD)/%: $(BUILD)/%.o $(BENCH_SHARED_OBJ) $(STATIC)
	$(CC) $(CFLAGS) $(LDFLAGS) $^ $(LIBS) -o $@

# All of them, built only, and what bench keeps and checks again.
benches: deps
	@$(MAKE) --no-print-directory -s -j$(CORES) $(BENCH_SRC:%.c=$(BUILD)/%)
	@BENCH=$(BUILD)/tests/bench/bench sh tests/bench/test_answers.sh

bench: deps
	@$(MAKE) --no-print-directory -s $(BUILD)/tests/bench/bench
	$(BUILD)/tests/bench/bench $(DATA) $(SECONDS)

# Estimates of cooling; plans of 100 to 3,000 stages; plans that cannot be met;
# what is proved of made-up dinners; the answers of a day.
bench-heat bench-growth bench-impossible bench-dinners bench-day: bench-%: deps
	@$(MAKE) --no-print-directory -s $(BUILD)/tests/bench/bench_$*
	$(BUILD)/tests/bench/bench_$*

# The page's server with 20 phones and a tick a second, for MINUTES; a measurement.
MINUTES ?= 10
bench-page: deps
	$(call need-packages,wrk curl procps)
	@$(MAKE) --no-print-directory -s -j$(CORES) all
	@BAKESET=$(BAKESET) MINUTES=$(MINUTES) sh tests/page/load.sh

# ------------------------------------------------------------------ install

install: all
	install -d $(DESTDIR)$(PREFIX)/bin $(DESTDIR)$(PREFIX)/lib/pkgconfig $(DESTDIR)$(PREFIX)/include \
	  $(DESTDIR)$(PREFIX)/share/man/man1 $(DESTDIR)$(PREFIX)/share/man/man3 \
	  $(DESTDIR)$(PREFIX)/share/bash-completion/completions $(DESTDIR)$(PREFIX)/share/zsh/site-functions \
	  $(DESTDIR)$(PREFIX)/share/bakeset
	install -m 755 $(BAKESET) $(DESTDIR)$(PREFIX)/bin/bakeset
	install -m 644 include/bakeset.h $(DESTDIR)$(PREFIX)/include/bakeset.h
	install -m 644 $(STATIC) $(DESTDIR)$(PREFIX)/lib/libbakeset.a
	install -m 755 $(SHARED) $(DESTDIR)$(PREFIX)/lib/libbakeset.so.$(VERSION)
	ln -sf libbakeset.so.$(VERSION) $(DESTDIR)$(PREFIX)/lib/libbakeset.so.$(SOVERSION)
	ln -sf libbakeset.so.$(VERSION) $(DESTDIR)$(PREFIX)/lib/libbakeset.so
	sed -e 's|@PREFIX@|$(PREFIX)|' -e 's|@VERSION@|$(VERSION)|' docs/bakeset.pc.in \
	  > $(DESTDIR)$(PREFIX)/lib/pkgconfig/bakeset.pc
	install -m 644 docs/bakeset.1 $(DESTDIR)$(PREFIX)/share/man/man1/bakeset.1
	install -m 644 docs/bakeset.3 $(DESTDIR)$(PREFIX)/share/man/man3/bakeset.3
	install -m 644 docs/completion/bakeset.bash $(DESTDIR)$(PREFIX)/share/bash-completion/completions/bakeset
	install -m 644 docs/completion/_bakeset $(DESTDIR)$(PREFIX)/share/zsh/site-functions/_bakeset
	install -m 644 docs/*.schema.json $(DESTDIR)$(PREFIX)/share/bakeset/

uninstall:
	rm -f $(DESTDIR)$(PREFIX)/bin/bakeset $(DESTDIR)$(PREFIX)/include/bakeset.h \
	  $(DESTDIR)$(PREFIX)/lib/libbakeset.* $(DESTDIR)$(PREFIX)/lib/pkgconfig/bakeset.pc \
	  $(DESTDIR)$(PREFIX)/share/man/man1/bakeset.1 $(DESTDIR)$(PREFIX)/share/man/man3/bakeset.3 \
	  $(DESTDIR)$(PREFIX)/share/bash-completion/completions/bakeset $(DESTDIR)$(PREFIX)/share/zsh/site-functions/_bakeset \
	  $(DESTDIR)$(PREFIX)/share/bakeset/*.schema.json

clean:
	rm -rf $(BUILD)

# Layout, braces and all: the file in the root says how.
check-format:
	$(call need-packages,clang-format)
	@clang-format --dry-run -Werror $$(git ls-files '*.c' '*.h')

format:
	clang-format -i $$(git ls-files '*.c' '*.h')

-include $(BENCH_SRC:%.c=$(BUILD)/%.d) $(BENCH_SHARED_OBJ:.o=.d)
-include $(FUZZ:%=$(BUILD)/tests/fuzz/fuzz_%.d)
-include $(LIB_OBJ:.o=.d) $(CMD_OBJ:.o=.d) $(TEST_SRC:%.c=$(BUILD)/%.d) $(TEST_SHARED_OBJ:.o=.d)
