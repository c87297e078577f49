# Checks "path:line:#include ..." lines against the layers of DEVELOPERS.md:
# a module includes itself and modules to its left, a foreign header has one
# module, and what is not in include/ stays in its own module.
BEGIN {
    left["base"] = "base"
    left["colour"] = "base colour"
    left["dye"] = "base colour dye"
    left["draw"] = "base colour draw"
    left["photo"] = "base colour photo"
    left["measure"] = "base colour photo measure"
    left["book"] = "base colour photo measure dye draw book"
    left["paper"] = left["book"] " paper"
    left["web"] = left["paper"] " web"
    left["cli"] = left["paper"] " web cli" # "serve" starts the page

    foreign["lcms2.h"] = "colour"
    foreign["lcms2_plugin.h"] = "colour"
    foreign["jpeglib.h"] = foreign["jerror.h"] = "photo"
    foreign["sqlite3.h"] = foreign["nettle/sha2.h"] = foreign["zip.h"] = "book"
    foreign["csv.h"] = "book"
    foreign["microhttpd.h"] = foreign["seccomp.h"] = "web"
    foreign["zlib.h"] = "web"
    foreign["linux/seccomp.h"] = foreign["sys/prctl.h"] = "web"
    foreign["ifaddrs.h"] = "web" # no POSIX, but every system has it
    foreign["linux/magic.h"] = foreign["sys/vfs.h"] = "base"
    foreign["sys/sysmacros.h"] = "base"
    foreign["jansson.h"] = "book cli" # what strangers send, what is typed
    foreign["qrencode.h"] = "draw"

    # C11, then POSIX.1-2008
    n = split("assert complex ctype errno fenv float inttypes iso646 limits " \
        "locale math setjmp signal stdalign stdarg stdatomic stdbool stddef " \
        "stdint stdio stdlib stdnoreturn string tgmath threads time uchar " \
        "wchar wctype " \
        "arpa/inet dirent dlfcn fcntl fnmatch ftw getopt glob grp iconv " \
        "langinfo libgen net/if netdb netinet/in netinet/tcp poll pthread " \
        "pwd regex sched search semaphore spawn strings sys/file sys/ioctl " \
        "sys/mman sys/resource sys/select sys/socket sys/stat sys/statvfs " \
        "sys/time sys/times sys/types sys/uio sys/un sys/utsname sys/wait " \
        "syslog termios unistd utime wordexp", names, " ")
    for (i = 1; i <= n; i++)
        standard[names[i] ".h"] = 1
}

function there(path, line, found)
{
    found = (getline line < path) >= 0
    close(path)
    return found
}

function complain(why)
{
    print where ": " why
    bad = 1
}

{
    split($0, part, ":")
    where = part[1] ":" part[2]
    split(part[1], at, "/")
    module = at[2]
    dir = part[1]
    sub(/\/[^\/]*$/, "", dir)
    if (!(module in left)) {
        complain("no module is called " module)
        next
    }
}

/#[ \t]*include[ \t]*</ {
    name = $0
    sub(/^[^<]*</, "", name)
    sub(/>.*/, "", name)
    if (name in standard)
        next
    if (!(name in foreign))
        complain(name " is neither C11 nor POSIX nor in .ci/arrows.awk")
    else if (index(" " foreign[name] " ", " " module " ") == 0)
        complain(name " is for " foreign[name] " only")
    next
}

/#[ \t]*include[ \t]*"/ {
    name = $0
    sub(/^[^"]*"/, "", name)
    sub(/".*/, "", name)
    if (name ~ /\.\./)
        complain(name ": name it from include/ or src/")
    else if (name !~ /\//) {
        if (!there(dir "/" name))
            complain(name " is not in " dir)
    } else {
        split(name, to, "/")
        if (index(" " left[module] " ", " " to[1] " ") == 0)
            complain(module " may not include " to[1])
        else if (to[1] != module && !there("include/" name))
            complain(name " is private to " to[1])
    }
    next
}

{ complain("an include that is neither <name> nor \"name\"") }

END { exit bad }
