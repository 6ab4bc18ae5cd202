# SPDX-License-Identifier: MIT
# SPDX-FileCopyrightText: Loomwright contributors
"""What the source tree must keep, as functions from texts to complaints: no file is opened here, so
that the tests of these rules can plant what each of them forbids."""

import re

INCLUDE = re.compile(r'^[ \t]*#[ \t]*include[ \t]*([<"])([^>"]+)[>"]', re.MULTILINE)

# Each third party by the beginning of its include path, with the rooms that may include it.
HOMES = {
    "yaml-cpp/": {"yaml"},
    "boost/": {"loom", "network"},
    "Eigen/": {"solve"},
    "cholmod": {"solve"},
    "umfpack": {"solve"},
    "klu": {"solve"},
    "SuiteSparse": {"solve"},
    "suitesparse/": {"solve"},
    "graphviz/": {"draw"},
    "cairo": {"draw"},
    "cairo/": {"draw"},
    "mustache": {"page"},
    "kainjow/": {"page"},
    "xlsxwriter": {"sheets"},
    "CbcModel": {"sheets"},
    "OsiClp": {"sheets"},
    "nlohmann/": {"sheets"},
    "CLI/": {"cli"},
    "httplib.h": {"cli"},
    "mimalloc.h": {"cli"},
    # the machine's threads and loader, where one file of a room wraps them
    "pthread.h": {"base"},
    "sched.h": {"base"},
    "dlfcn.h": {"draw", "cli"},
    "poll.h": {"cli"},
}
# Allowed in every room, headers too.
EVERYWHERE = ("fmt/",)
# The machine's own interfaces: files and terminals are reached from the command alone.
MACHINE = ("unistd.h", "fcntl.h", "sys/", "signal.h", "termios.h", "filesystem", "fstream", "iostream")
STANDARD = set("""
algorithm any array atomic barrier bit bitset cassert cctype cerrno cfenv cfloat charconv chrono
cinttypes climits clocale cmath codecvt compare complex concepts condition_variable coroutine csetjmp
csignal cstdarg cstddef cstdint cstdio cstdlib cstring ctime cuchar cwchar cwctype deque exception
execution filesystem forward_list fstream functional future initializer_list iomanip ios iosfwd
iostream istream iterator latch limits list locale map memory memory_resource mutex new numbers
numeric optional ostream queue random ranges ratio regex scoped_allocator semaphore set shared_mutex
source_location span sstream stack stdexcept stop_token streambuf string string_view strstream
system_error thread tuple type_traits typeindex typeinfo unordered_map unordered_set utility valarray
variant vector version
""".split())
# Rooms that see less than what stands above them.
NARROW = {"solve": {"base"}}


def room_order(cmake_text):
    """The rooms in their order, from the one list of them in lib/CMakeLists.txt."""
    found = re.search(r"set\(rooms\s+([^)]*)\)", cmake_text)
    return found.group(1).split() + ["cli"] if found else []


def module_uses(cmake_text):
    """Rooms that the build file of a room names after USES."""
    found = re.search(r"\bUSES\s+([a-z\s]+?)(?=[A-Z)])", cmake_text)
    return set(found.group(1).split()) if found else set()


def includes(text):
    """(line number, is in quotes, name) of every include."""
    for match in INCLUDE.finditer(text):
        yield text.count("\n", 0, match.start()) + 1, match.group(1) == '"', match.group(2)


def third_party_home(name):
    """Rooms that may include `name`; nothing when it belongs to no third party known here."""
    for start, rooms in sorted(HOMES.items(), key=lambda item: -len(item[0])):
        if name.startswith(start):
            return rooms
    return None


def check_includes(path, text, rooms, uses):
    """Complaints about the include lines of one file of lib/ROOM/ or cli/. `uses` gives for each room
    those that its build file reaches; a room that is not in it is not judged by its build file."""
    parts = path.split("/")
    room = parts[1] if parts[0] == "lib" else "cli"
    if room not in rooms:
        return [f"{path}: room '{room}' is not in the list of lib/CMakeLists.txt"]
    allowed = NARROW.get(room, set(rooms[:rooms.index(room)])) | {room}
    complaints = []

    def complain(line, what):
        complaints.append(f"{path}:{line}: {what}")

    for line, quoted, name in includes(text):
        other = name.split("/")[0] if "/" in name else room
        if quoted and name.startswith("."):
            complain(line, f'"{name}": name the file from lib/ on')
        elif quoted and "/" in name and other not in rooms:
            complain(line, f'"{name}" is of no room')
        elif quoted and other not in allowed:
            complain(line, f'"{name}": {room} may not include from {other}')
        elif quoted and other != room and room in uses and other not in uses[room]:
            complain(line, f'"{name}": the build file of {room} does not name {other} after USES')
        elif not quoted:
            complaints.extend(f"{path}:{line}: {what}"
                              for what in check_angled(path, name, room, rooms))
    return complaints


def check_angled(path, name, room, rooms):
    """Complaints about one include in angle brackets."""
    if name.startswith(EVERYWHERE):
        return []
    if name.startswith(MACHINE):
        return [] if room == "cli" else [f"<{name}>: only cli reaches the machine's files and terminals"]
    if name in STANDARD:
        return []
    if name.split("/")[0] in rooms and "/" in name:
        return [f'<{name}>: a file of the project is included with quotes']
    home = third_party_home(name)
    if home is None:
        return [f"<{name}>: not a standard header, and no room is home to it"]
    found = []
    if room not in home:
        found.append(f"<{name}>: its home is {' and '.join(sorted(home))}, not {room}")
    if not path.endswith(".cpp"):
        found.append(f"<{name}>: a third party is included in .cpp files only")
    return found


def check_head(path, text):
    """Complaints about the two lines that every source file opens with."""
    sign = "#" if path.endswith(".py") else "//"
    wanted = [f"{sign} SPDX-License-Identifier: MIT",
              f"{sign} SPDX-FileCopyrightText: Loomwright contributors"]
    lines = text.split("\n")
    if lines and lines[0].startswith("#!"):
        lines = lines[1:]
    return [] if lines[:2] == wanted else [f"{path}:1: does not open with the two SPDX lines"]


def check_length(path, text, most):
    count = text.count("\n")
    return [f"{path}: {count} lines, at most {most}: does it hold two subjects?"] if count > most else []


# Folders that only one machine has. Written apart so that this file passes its own rule.
MACHINE_PATH = re.compile(r"(?<![\w.}\)*/-])/(?:" + "|".join(
    ("wor" + "k", "roo" + "t", "tm" + "p", "hom" + "e", "far" + "m", "Use" + "rs")) + r")(?:/|\b)(?!\.h)")
LEFT_OVER = re.compile(r"\b(?:TO" + r"DO|FIX" + r"ME|XX" + r"X)\b(?![^\n]*#\d+)")


def check_text(path, text):
    """Complaints about what no committed file may hold."""
    complaints = []
    for number, line in enumerate(text.split("\n"), 1):
        if MACHINE_PATH.search(line):
            complaints.append(f"{path}:{number}: a path of one machine: {line.strip()[:80]}")
        if LEFT_OVER.search(line):
            complaints.append(f"{path}:{number}: a left-over without the number of its issue")
    return complaints


OPENS = re.compile(r"(?:inline )?namespace ?([\w:]*) ?\{")
TYPE = re.compile(r"(?:template <.*> )?(?:struct|class|enum class|enum) ([\w:]+)(?: final)?(?: ?:[^;]*)?(?: \{|$)")


def types_in(text):
    """(name with its namespaces, line) of every type that other files can name: what is defined in no unnamed
    namespace and in no other type. As clang-format lays the files out: such lines begin at the margin."""
    inside = []
    for number, line in enumerate(text.splitlines(), 1):
        opens, found = OPENS.match(line), TYPE.match(line)
        if opens:
            inside.append(opens.group(1))
        elif line.startswith("} // namespace"):
            inside = inside[:-1]
        elif found and "" not in inside and not (line.rstrip().endswith(";") and "{" not in line):
            yield "::".join([*inside, found.group(1)]), number


def check_types(texts):
    """Two types of one name in one namespace: the linker keeps one of their functions for both, and a program that
    is not optimised calls the wrong one. `texts`: by the names of the files."""
    places = {}
    for name, text in texts.items():
        for kind, line in types_in(text):
            places.setdefault(kind, []).append(f"{name}:{line}")
    return [f"{there[1]}: {kind} is at {there[0]} too" for kind, there in places.items() if len(there) > 1]
