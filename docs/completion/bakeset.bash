# Completion of bakeset for bash: commands and options as the program's own help has them,
# stages of the plan on the line, files.

# The ids of the stages in a plan or recipe and in the recipes beside it that it names.
_bakeset_stages() {
    local plan=$1 folder recipe
    [ -r "$plan" ] || return
    folder=$(dirname -- "$plan")
    {
        cat -- "$plan"
        sed -n 's/.*"recipe": *"\([^"]*\)".*/\1/p' "$plan" | while IFS= read -r recipe; do
            case $recipe in /*) ;; *) recipe=$folder/$recipe ;; esac
            [ -r "$recipe" ] && cat -- "$recipe"
        done
    } | grep -o '"id": *"[^"]*"' | sed 's/.*"\([^"]*\)"$/\1/' | sort -u
}

_bakeset() {
    local word=${COMP_WORDS[COMP_CWORD]} program=${COMP_WORDS[0]} command=${COMP_WORDS[1]} plan= i
    local IFS=$'\n'
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        COMPREPLY=($(compgen -W "$("$program" --help 2>/dev/null | sed -n 's/^  \([a-z][a-z-]*\)  .*/\1/p')
--help
--version" -- "$word"))
        return
    fi
    case $word in
    -*)
        COMPREPLY=($(compgen -W "$("$program" "$command" --help 2>/dev/null | sed -n 's/^  \(--[a-z-]*\).*/\1/p')" -- "$word"))
        return
        ;;
    esac
    for ((i = 2; i < ${#COMP_WORDS[@]}; i++)); do
        case ${COMP_WORDS[i]} in *.json) [ $i -ne $COMP_CWORD ] && plan=${COMP_WORDS[i]} ;; esac
    done
    case $command in
    why | cooling | day)
        [ -n "$plan" ] && COMPREPLY=($(compgen -W "$(_bakeset_stages "$plan")" -- "$word"))
        ;;
    esac
    # What may have happened on a day: the first word of the help's columns.
    if [ "$command" = day ] && [ "$COMP_CWORD" -eq 2 ]; then
        COMPREPLY+=($(compgen -W "$("$program" day --help 2>/dev/null | sed -n '/^Options/q; s/^  //p' |
            grep -oE '(^|  +)[a-z]+' | tr -d ' ' | sort -u)" -- "$word") $(compgen -f -- "$word"))
    fi
    [ ${#COMPREPLY[@]} -gt 0 ] || COMPREPLY=($(compgen -f -- "$word"))
}

complete -o filenames -F _bakeset bakeset
