// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
//
// What can be typed: every verb with its options, its words of help and its examples.
#include "verb_list.hpp"

#include <CLI/CLI.hpp>

#include <string>
#include <utility>

namespace loomwright::cli {
namespace {

/// A verb of the command line: its options fill `arguments`, `run` is called when it was chosen.
CLI::App* add_verb(CLI::App& app, const std::string& name, const std::string& what,
                   const std::string& examples, std::function<int(const Arguments&)> run,
                   Arguments& arguments, ChosenVerb& chosen) {
    CLI::App* verb = app.add_subcommand(name, what);
    verb->footer("Examples:\n" + examples +
                 "\nExit status: 0 nothing at or above the failing severity, 1 findings,\n"
                 "2 the input is wrong, 3 the machine failed.");
    verb->callback([&chosen, run = std::move(run)] { chosen = run; });
    (void)arguments;
    return verb;
}

/// Of a verb that asks for operating points: one that there is not counts as a finding.
void tell_of_no_answer(CLI::App* verb) {
    verb->footer(verb->get_footer() + "\nA state without an operating point makes 1 as well.");
}

void add_file(CLI::App* verb, Arguments& arguments) {
    verb->add_option("FILE", arguments.file, "the vehicle file; - reads standard input")
        ->required();
}

void add_json(CLI::App* verb, Arguments& arguments) {
    verb->add_flag("--json", arguments.json,
                   "answer as JSON; numbers are SI, the unit is in the key");
}

void add_output(CLI::App* verb, Arguments& arguments, const std::string& what) {
    verb->add_option("-o,--output", arguments.output, what)->type_name("FILE");
}

void add_states(CLI::App* verb, Arguments& arguments) {
    verb->add_option("-s,--state", arguments.states,
                     "only this state of the car; may be given again; all states when left out");
}

/// The verbs that begin a vehicle file or set two of them side by side.
void add_file_verbs(CLI::App& app, Arguments& arguments, ChosenVerb& chosen) {
    CLI::App* begun = add_verb(app, "new", "a commented vehicle file to begin from",
                               "  loomwright new mycar\n"
                               "  loomwright new cars/estate\n",
                               run_new, arguments, chosen);
    begun->add_option("DIR", arguments.folder, "the folder to write car.yaml into")->required();

    CLI::App* import = add_verb(app, "import", "a vehicle file from a spreadsheet's list of loads",
                                "  loomwright import loads.csv -o from-list.yaml\n"
                                "  loomwright import loads.csv\n",
                                run_import, arguments, chosen);
    import
        ->add_option("CSV", arguments.file,
                     "columns by name: device, place, watts or amps, volts, fuse, length, note, "
                     "kind; - reads standard input")
        ->required();
    import->add_flag("--overwrite", arguments.overwrite,
                     "write over a file that holds something else");
    add_output(import, arguments, "the vehicle file to write; - writes to standard output");

    CLI::App* compare =
        add_verb(app, "compare",
                 "what changed between two files: wires to cut, pull, re-terminate, re-label; "
                 "ratings; verdicts",
                 "  loomwright compare as-cut.yaml car.yaml\n"
                 "  loomwright compare as-cut.yaml car.yaml --csv -o changes.csv\n"
                 "  loomwright compare as-cut.yaml car.yaml --fail-on-change\n",
                 run_compare, arguments, chosen);
    compare->add_option("OLD", arguments.file, "the vehicle file that was built from")->required();
    compare->add_option("NEW", arguments.new_file, "the vehicle file as it is now")->required();
    compare->add_flag("--fail-on-change", arguments.fail_on_change,
                      "exit status 1 when anything changed; else 0 whenever both could be read");
    add_json(compare, arguments);
    compare->add_flag("--csv", arguments.csv, "everything that changed, for a spreadsheet");
    add_output(compare, arguments, "write the answer to this file instead");
}

void add_measure(CLI::App& app, Arguments& arguments, ChosenVerb& chosen) {
    CLI::App* measure =
        add_verb(app, "measure",
                 "workshop readings against the prediction: the fewest joints that explain them",
                 "  loomwright measure car.yaml readings.csv\n"
                 "  loomwright measure car.yaml readings.csv --accuracy '1 % + 20 mV'\n"
                 "  loomwright measure car.yaml readings.csv --json | jq '.culprits'\n",
                 run_measure, arguments, chosen);
    add_file(measure, arguments);
    measure
        ->add_option("READINGS", arguments.readings,
                     "columns by name: place, state, reading (or volts, millivolts), to, accuracy, "
                     "note; - reads standard input")
        ->required();
    measure->add_option("--accuracy", arguments.accuracy,
                        "how far the meter may be off, either way: `0.5 % + 10 mV` when left out");
    add_json(measure, arguments);
    add_output(measure, arguments, "write the answer to this file instead");
}

/// The verbs in which the program tells of itself.
void add_own_verbs(CLI::App& app, Arguments& arguments, ChosenVerb& chosen) {
    CLI::App* manual = add_verb(app, "manual", "the manual page of the program or of one verb",
                                "  loomwright manual -o loomwright.1\n"
                                "  loomwright manual check | man -l -\n",
                                run_manual, arguments, chosen);
    manual->add_option("VERB", arguments.id, "the verb; without it the page of the program");
    add_output(manual, arguments, "write the page to this file instead");

    CLI::App* completion = add_verb(app, "completion", "a script that completes words in a shell",
                                    "  loomwright completion bash -o loomwright.bash\n"
                                    "  loomwright completion fish\n",
                                    run_completion, arguments, chosen);
    completion->add_option("SHELL", arguments.id, "bash, zsh or fish")
        ->check(CLI::IsMember({"bash", "zsh", "fish"}))
        ->required();
    add_output(completion, arguments, "write the script to this file instead");
}

} // namespace

std::string cautions_text() {
    return "Disconnect the battery before work on a car. Verify by measurement. Local codes and\n"
           "a qualified person decide.";
}

void describe_program(CLI::App& app) {
    app.description(
        "Wiring of re-powered cars: from a vehicle file to sized wires, checked fuses,\n"
        "a feeds drawing and a cut list.");
    app.set_version_flag("--version", version_text,
                         "Print the version and the editions of the built-in tables");
    app.require_subcommand(1);
    app.footer("`loomwright VERB --help` shows a verb's options and examples.\n\n" +
               cautions_text());
}

void add_verbs(CLI::App& app, Arguments& arguments, ChosenVerb& chosen) {
    CLI::App* check =
        add_verb(app, "check", "everything that is wrong or worth knowing, worst first",
                 "  loomwright check car.yaml\n"
                 "  loomwright check car.yaml --fail-on danger\n"
                 "  loomwright check car.yaml --faults\n"
                 "  loomwright check car.yaml --json | jq '.counts'\n"
                 "  loomwright check car.yaml --lines\n"
                 "  loomwright check car.yaml --sarif -o car.sarif\n"
                 "  loomwright check car.yaml --junit -o car.xml\n"
                 "  loomwright check --each cars\n",
                 run_check, arguments, chosen);
    const CLI::Option* one =
        check->add_option("FILE", arguments.file, "the vehicle file; - reads standard input");
    const CLI::Option* each =
        check->add_option("--each", arguments.each,
                          "check every car of this folder instead: its *.yaml, and NAME/NAME.yaml");
    check->parse_complete_callback([one, each] {
        if (one->count() + each->count() != 1) {
            throw CLI::RequiredError("either FILE or --each");
        }
    });
    add_json(check, arguments);
    check->add_flag("--lines", arguments.lines,
                    "one line a finding, which editors jump from; waived ones are left out");
    check->add_flag("--sarif", arguments.sarif,
                    "answer as SARIF 2.1.0, for editors and code hosts");
    check->add_flag("--junit", arguments.junit,
                    "answer as JUnit XML, for build servers: every rule a test");
    add_output(check, arguments, "write the answer to this file instead");
    check->add_flag(
        "--faults", arguments.faults,
        "short and open everything in every state too: what is not cleared, what overheats, "
        "sneak paths");
    check->add_option("--fail-on", arguments.fail_on, "least severity that makes the exit status 1")
        ->check(CLI::IsMember({"note", "caution", "fault", "danger", "never"}))
        ->capture_default_str();

    CLI::App* size =
        add_verb(app, "size", "a size for every wire and a rating for every fuse, with the reason",
                 "  loomwright size car.yaml\n"
                 "  loomwright size car.yaml --json -o sizes.json\n"
                 "  loomwright size car.yaml --freeze\n",
                 run_size, arguments, chosen);
    add_file(size, arguments);
    size->add_flag("--freeze", arguments.freeze,
                   "write what is chosen to a file beside the vehicle file, so that a later change "
                   "leaves it alone");
    add_json(size, arguments);
    add_output(size, arguments, "write the answer to this file instead");

    CLI::App* solve = add_verb(app, "solve", "voltages, currents and temperatures of every state",
                               "  loomwright solve car.yaml --state cranking\n"
                               "  loomwright solve car.yaml --json -o states.json\n"
                               "  loomwright solve car.yaml --state cranking --spread 10000\n",
                               run_solve, arguments, chosen);
    tell_of_no_answer(solve);
    add_file(solve, arguments);
    add_states(solve, arguments);
    add_json(solve, arguments);
    solve->add_option("--spread", arguments.spread,
                      "so many samples of what is uncertain (1 to 1000000): how far each voltage "
                      "lies from the nominal one, how often each limit is broken");
    solve->add_option("--seed", arguments.seed,
                      "with --spread: the same number gives the same samples; 1 when left out");
    solve->add_flag("--csv", arguments.csv, "with --spread: answer as a table for a spreadsheet");
    add_output(solve, arguments, "write the answer to this file instead");

    CLI::App* energy =
        add_verb(app, "energy", "cranking, charging, parking: what the batteries live on",
                 "  loomwright energy car.yaml\n"
                 "  loomwright energy car.yaml --drive winter-errands --csv -o drive.csv\n",
                 run_energy, arguments, chosen);
    tell_of_no_answer(energy);
    add_file(energy, arguments);
    energy->add_option("--drive", arguments.drive, "only this drive of the file");
    energy->add_flag("--csv", arguments.csv, "every moment of the drive, for a spreadsheet");
    add_json(energy, arguments);
    add_output(energy, arguments, "write the answer to this file instead");

    CLI::App* faults = add_verb(
        app, "faults", "every conductor shorted to metal and every one opened, in every state",
        "  loomwright faults car.yaml\n"
        "  loomwright faults car.yaml --wire 12.2 --state cranking\n"
        "  loomwright faults car.yaml --csv -o faults.csv\n",
        run_faults, arguments, chosen);
    tell_of_no_answer(faults);
    add_file(faults, arguments);
    faults->add_option("-w,--wire", arguments.wires,
                       "only this wire, by its number; may be given again");
    add_states(faults, arguments);
    add_json(faults, arguments);
    faults->add_flag("--csv", arguments.csv, "every case, for a spreadsheet");
    add_output(faults, arguments, "write the answer to this file instead");

    CLI::App* explain =
        add_verb(app, "explain",
                 "every formula behind a wire, device, state, run, point or finding, with the "
                 "numbers put in",
                 "  loomwright explain car.yaml F10\n"
                 "  loomwright explain car.yaml 12.2\n"
                 "  loomwright explain car.yaml idle-rain-night\n"
                 "  loomwright explain car.yaml least-size\n"
                 "  loomwright explain car.yaml least-size:27.5\n",
                 run_explain, arguments, chosen);
    add_file(explain, arguments);
    explain
        ->add_option("ID", arguments.id,
                     "a wire's number; the name of a device, state, run or point; a rule, or a "
                     "finding as rule:subject")
        ->required();
    add_json(explain, arguments);
    add_output(explain, arguments, "write the answer to this file instead");

    CLI::App* place = add_verb(
        app, "place", "the best place for a device or a fuse panel: every point of the body tried",
        "  loomwright place car.yaml A1\n"
        "  loomwright place car.yaml fuse-panel --csv -o places.csv\n",
        run_place, arguments, chosen);
    add_file(place, arguments);
    place->add_option("ID", arguments.id, "a device, or a point: all that is at it")->required();
    add_json(place, arguments);
    place->add_flag("--csv", arguments.csv, "the places, for a spreadsheet");
    add_output(place, arguments, "write the answer to this file instead");

    add_measure(app, arguments, chosen);

    CLI::App* draw =
        add_verb(app, "draw",
                 "a drawing of the feeds, the loom, one circuit, a drive, a fuse's curves, sneak "
                 "paths, a run's section, or a connector's faces",
                 "  loomwright draw car.yaml --view feeds -o feeds.svg\n"
                 "  loomwright draw car.yaml --view feeds -o feeds.pdf\n"
                 "  loomwright draw car.yaml --view feeds --format dot -o -\n"
                 "  loomwright draw car.yaml --view loom -o loom.svg\n"
                 "  loomwright draw car.yaml --view loom --full-size --paper A4 -o loom.pdf\n"
                 "  loomwright draw car.yaml --view circuit 12 -o circuit-12.pdf\n"
                 "  loomwright draw car.yaml --view drive -o drive.svg\n"
                 "  loomwright draw car.yaml --view curves F10 -o f10.svg\n"
                 "  loomwright draw car.yaml --view sneaks GND7 -o gnd7.svg\n"
                 "  loomwright draw car.yaml --view section dash-left -o dash-left.svg\n"
                 "  loomwright draw car.yaml --view connector X1 -o x1.svg\n",
                 run_draw, arguments, chosen);
    add_file(draw, arguments);
    draw->add_option(
        "ID", arguments.id,
        "(circuit) a circuit, by its number or name; (curves) a fuse, breaker or fusible link; "
        "(sneaks) what is opened: a ground, wire, fuse; (section) a run; (connector) a connector, "
        "or "
        "a device with a plug");
    draw->add_option("--view", arguments.view, "what to draw")
        ->check(CLI::IsMember(
            {"feeds", "loom", "circuit", "drive", "curves", "sneaks", "section", "connector"}))
        ->capture_default_str();
    draw->add_flag("--full-size", arguments.full_size,
                   "(loom) as it is laced, on many pages with register marks: a PDF");
    draw->add_option("--board", arguments.board,
                     "(loom) width and height in mm of the board it is laid on: 2400x1200 if not "
                     "given");
    draw->add_option("--paper", arguments.paper, "(loom at full size, circuit) paper to print on")
        ->check(CLI::IsMember({"A4", "Letter"}, CLI::ignore_case))
        ->capture_default_str();
    draw->add_option("--drive", arguments.drive, "which drive, where the file has several");
    draw->add_option("--format", arguments.format, "svg, pdf, png or dot; else by the ending of -o")
        ->check(CLI::IsMember({"svg", "pdf", "png", "dot"}));
    add_output(draw, arguments, "the file to write; - writes to standard output");

    CLI::App* pack =
        add_verb(app, "pack", "the fabricator's papers: lists, labels, tests, drawings",
                 "  loomwright pack car.yaml -o papers\n"
                 "  loomwright pack car.yaml -o papers --paper Letter\n",
                 run_pack, arguments, chosen);
    add_file(pack, arguments);
    pack->add_option("-o,--output", arguments.output, "the folder to write into")
        ->type_name("DIR")
        ->required();
    pack->add_option("--paper", arguments.paper, "paper the print-outs are laid out for")
        ->check(CLI::IsMember({"A4", "Letter"}, CLI::ignore_case))
        ->capture_default_str();

    CLI::App* report = add_verb(
        app, "report", "one page for the inspector and the owner: verdict, proofs, drawings",
        "  loomwright report car.yaml -o report.html\n"
        "  loomwright report car.yaml -o report.html --paper Letter\n"
        "  loomwright report car.yaml -o quick.html --no-faults\n",
        run_report, arguments, chosen);
    add_file(report, arguments);
    add_output(report, arguments, "the page to write; - writes to standard output");
    report->add_option("--paper", arguments.paper, "paper it is laid out for when it is printed")
        ->check(CLI::IsMember({"A4", "Letter"}, CLI::ignore_case))
        ->capture_default_str();
    report->add_flag("--no-faults", arguments.no_faults,
                     "leave out the sweep of faults: quicker for a very large car");

    CLI::App* watch = add_verb(app, "watch", "check again on every save, and say what changed",
                               "  loomwright watch car.yaml\n"
                               "  loomwright watch car.yaml --faults\n"
                               "  loomwright watch car.yaml --serve --port 8080\n",
                               run_watch, arguments, chosen);
    add_file(watch, arguments);
    add_json(watch, arguments);
    watch->add_flag("--faults", arguments.faults, "sweep the faults too, each time");
    watch->add_flag("--serve", arguments.serve,
                    "show the report to a browser on this machine, anew after each check; no other "
                    "machine reaches it");
    watch->add_option("--port", arguments.port, "with --serve: this port; else one that is free");
    watch->add_option("--paper", arguments.paper, "with --serve: paper the report is laid out for")
        ->check(CLI::IsMember({"A4", "Letter"}, CLI::ignore_case))
        ->capture_default_str();

    CLI::App* tables = add_verb(app, "tables", "the built-in tables, with their sources",
                                "  loomwright tables\n"
                                "  loomwright tables conductors-iso\n"
                                "  loomwright tables fuses --json\n",
                                run_tables, arguments, chosen);
    tables->add_option("NAME", arguments.id, "the table to print; without it their names");
    add_json(tables, arguments);
    add_output(tables, arguments, "write the answer to this file instead");

    add_file_verbs(app, arguments, chosen);

    // Its words are read by run_calc; here it stands in the list of verbs.
    app.add_subcommand("calc", "single questions: wire, drop, fuse, bundle, fault, lamp");

    CLI::App* exported =
        add_verb(app, "export", "the car's states and tables for other tools",
                 "  loomwright export car.yaml --to spice --state cranking -o crank.cir\n"
                 "  loomwright export car.yaml --to spice -o decks/\n"
                 "  loomwright export car.yaml --to json\n"
                 "  loomwright export car.yaml --to xlsx -o car.xlsx\n",
                 run_export, arguments, chosen);
    tell_of_no_answer(exported);
    add_file(exported, arguments);
    exported
        ->add_option(
            "--to", arguments.format,
            "spice: a deck of one state; json: solved states; csv: sizes; xlsx: the tables "
            "of the pack")
        ->check(CLI::IsMember({"spice", "json", "csv", "xlsx"}))
        ->required();
    add_states(exported, arguments);
    add_output(exported, arguments, "the file to write; - writes to standard output");

    add_own_verbs(app, arguments, chosen);
}

} // namespace loomwright::cli
