# shellcheck shell=sh
# For the tests that write a life down and read it back; to be sourced.
# What was understood of a command is tested elsewhere: here only what was kept
# is shown, and all of it when it failed.
keep() {
    if hanklab "$@" >said 2>&1; then
        grep '^Kept' said
    else
        status=$?
        cat said
        echo "exit $status: hanklab $*"
    fi
}
show() {
    echo "- show $*"
    hanklab show "$@"
}
hanklab init --dyer Mine >said
