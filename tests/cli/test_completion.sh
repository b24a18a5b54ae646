#!/bin/sh
# Completion for bash and zsh, asked as the shells ask it.
. tests/cli/lib.sh

# complete WORD...: what is offered for the last word, one a line, in $out.
complete() {
    ran="completion of: bakeset $*"
    : >"$err"
    bash -c '
        . docs/completion/bakeset.bash
        COMP_WORDS=("$@")
        COMP_CWORD=$((${#COMP_WORDS[@]} - 1))
        _bakeset
        printf "%s\n" "${COMPREPLY[@]}"' bash "$bakeset" "$@" >"$out" 2>"$err"
}

if command -v bash >/dev/null 2>&1; then
    it "every command of the help is offered, and no other"
    run --help
    sed -n 's/^  \([a-z][a-z-]*\)  .*/\1/p' "$out" | sort >"$work/commands"
    complete ""
    grep -v '^-' "$out" | sort >"$work/offered"
    if cmp -s "$work/commands" "$work/offered"; then pass; else fail "$(diff "$work/commands" "$work/offered")"; fi
    if [ -s "$work/offered" ]; then pass; else fail "nothing is offered"; fi

    it "a command begun"
    complete ta
    expect_match "$out" '^take-in$'

    it "options of the command"
    complete timeline --al
    expect_match "$out" '^--alarm-before$'
    complete take-in --
    expect_match "$out" '^--to$'

    it "stages of the plan on the line, also of its recipes"
    mkdir "$work/r"
    echo '{"dish": "Rolls", "stages": [{"id": "shape-rolls", "do": "Shape", "active": "5 min"}]}' >"$work/r/rolls.json"
    echo '{"dishes": [{"recipe": "r/rolls.json"}, {"stages": [{"id": "show", "do": "Show"}]}]}' >"$work/p.json"
    complete why "$work/p.json" sh
    expect_match "$out" '^shape-rolls$'
    expect_match "$out" '^show$'

    it "what may have happened on a day"
    complete day b
    expect_match "$out" '^begun$'
    complete day ""
    expect_match "$out" '^longer$'
    expect_match "$out" '^finish$'
    if grep -q -e '^STAGE' -e '^stage' "$out"; then fail "names of values are offered"; else pass; fi

    complete day "$work/p"
    expect_stdout "$work/p.json"

    it "files"
    complete check "$work/p"
    expect_stdout "$work/p.json"
else
    skip "there is no bash"
fi

it "zsh: commands, options and stages"
if command -v zsh >/dev/null 2>&1; then
    # what zsh would show, printed
    zsh_complete() {
        ran="completion of: bakeset $*"
        zsh -f -c '
            compadd() { print -l -- ${(P)2} }
            _describe() { print -l -- ${(P)2} }
            _files() { : }
            words=("$@")
            CURRENT=$#words
            . docs/completion/_bakeset' zsh "$bakeset" "$@" >"$out" 2>"$err"
    }
    zsh_complete ""
    expect_match "$out" '^take-in:makes a recipe file'
    zsh_complete timeline --
    expect_match "$out" '^--alarm-before$'
    zsh_complete day b
    expect_match "$out" '^begun$'
    echo '{"stages": [{"id": "show", "do": "Show"}]}' >"$work/z.json"
    zsh_complete why "$work/z.json" s
    expect_match "$out" '^show$'
else
    skip "there is no zsh"
fi
finish
