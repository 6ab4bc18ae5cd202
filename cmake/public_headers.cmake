# Copies the headers that a program can include: those the command itself includes, with what these
# include. Inside, "room/name.hpp" becomes "loomwright/room/name.hpp", so that an installed room's name
# meets no other library's.
# cmake -DSOURCE=folder -DOUTPUT=folder -P public_headers.cmake

cmake_minimum_required(VERSION 3.23)

set(pattern "#include \"[a-z]+/[a-z_0-9]+\\.hpp\"")
file(GLOB texts "${SOURCE}/cli/*.?pp")
set(wanted "")
foreach(text IN LISTS texts)
    file(STRINGS "${text}" lines REGEX "^${pattern}")
    list(APPEND wanted ${lines})
endforeach()
file(REMOVE_RECURSE "${OUTPUT}/loomwright")
set(done "")
while(wanted)
    list(POP_FRONT wanted line)
    string(REGEX REPLACE "#include \"(.*)\".*" "\\1" name "${line}")
    if(name IN_LIST done OR NOT EXISTS "${SOURCE}/lib/${name}")
        continue()
    endif()
    list(APPEND done "${name}")
    file(STRINGS "${SOURCE}/lib/${name}" lines REGEX "^${pattern}")
    list(APPEND wanted ${lines})
    file(READ "${SOURCE}/lib/${name}" content)
    string(REGEX REPLACE "#include \"([a-z]+/[a-z_0-9]+\\.hpp)\"" "#include \"loomwright/\\1\"" content "${content}")
    file(WRITE "${OUTPUT}/loomwright/${name}" "${content}")
endwhile()
file(TOUCH "${OUTPUT}/headers.stamp")
