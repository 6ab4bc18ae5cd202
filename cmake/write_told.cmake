# Writes manual pages and completion scripts into the folders where shells and man look for them.
# cmake -DCOMMAND=loomwright -DOUTPUT=folder -P write_told.cmake

cmake_minimum_required(VERSION 3.23)

file(REMOVE_RECURSE "${OUTPUT}")
function(write_answer name)
    execute_process(COMMAND "${COMMAND}" ${ARGN} OUTPUT_VARIABLE text COMMAND_ERROR_IS_FATAL ANY)
    file(WRITE "${OUTPUT}/share/${name}" "${text}")
    set(answer "${text}" PARENT_SCOPE)
endfunction()

write_answer(man/man1/loomwright.1 manual)
string(REGEX MATCHALL "\n\\.It Xr loomwright-[a-z]+" items "${answer}")
foreach(item IN LISTS items)
    string(REGEX REPLACE ".*loomwright-" "" verb "${item}")
    write_answer(man/man1/loomwright-${verb}.1 manual ${verb})
endforeach()
write_answer(bash-completion/completions/loomwright completion bash)
write_answer(zsh/vendor-completions/_loomwright completion zsh)
write_answer(fish/vendor_completions.d/loomwright.fish completion fish)
file(TOUCH "${OUTPUT}/told.stamp")
