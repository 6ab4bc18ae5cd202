// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "page/pack.hpp"

#include "draw/feeds.hpp"
#include "draw/loom_drawing.hpp"
#include "draw/loom_plan.hpp"
#include "draw/loom_tiles.hpp"
#include "draw/write_sheets.hpp"
#include "page/page_data.hpp"
#include "page/papers.hpp"
#include "page/print_page.hpp"
#include "sheets/bundle_schedule.hpp"
#include "sheets/continuity.hpp"
#include "sheets/joint_schedule.hpp"

#include <algorithm>
#include <array>
#include <cctype>

namespace loomwright {
namespace {

/// The papers of one car: each table is made once, for its CSV file, its page and the workbook.
class PackMaker {
public:
    PackMaker(const StudyInput& study, const Sizing& sizing, const Findings& findings, Paper paper)
        : study_(study), sizing_(sizing), findings_(findings), paper_(paper),
          cuts_(cut_list(study, sizing)), buying_(buying_list(study, sizing, cuts_)) {}

    void add_tables(Pack& pack) const {
        add(pack, cut_list_sheet(study_, cuts_), page::cut_page(study_, cuts_, findings_, paper_));
        add(pack, buying_list_sheet(buying_),
            page::buying_page(study_, buying_, findings_, paper_));
        add(pack, cutting_plan_sheet(buying_),
            {"Cutting plan",
             "Which wire comes off which spool",
             {"cut by, date", "checked by, date"}});
        add(pack, joint_schedule(study_, sizing_),
            {"Joint schedule",
             "Splices, studs, grounds and screens",
             {"crimped by, date", "sealed by, date", "checked by, date"}});
        add_connectors(pack);
        Sheet bundles = bundle_schedule_sheet(study_, bundle_schedule(study_, sizing_));
        const std::string runs = page::counted(bundles.rows.size(), "run", "runs") + " with wires";
        add(pack, std::move(bundles),
            {"Bundle and cover schedule",
             runs,
             {"laced by, date", "fitted by, date", "checked by, date"}});
        const std::vector<WireLabel> labels = wire_labels(study_, sizing_);
        Sheet label_list = labels_sheet(study_, labels);
        std::string label_page =
            page::labels_page(study_, labels, label_list.notes, findings_, paper_);
        add(pack, std::move(label_list), std::move(label_page));
        const std::vector<ContinuityLine> lines = continuity(study_, sizing_);
        add(pack, continuity_sheet(study_, lines),
            {"Continuity test",
             page::counted(lines.size(), "wire", "wires") + " to test",
             {"tested by, date", "meter", "checked by, date"}});
        const std::vector<TestPlace> places = test_places(study_, sizing_);
        add(pack, first_power_sheet(study_, sizing_, places),
            page::first_power_page(study_, sizing_, places, findings_, paper_));
    }

    /// False with the reason when a drawing cannot be made.
    bool add_drawings(Pack& pack, std::string& why_not) const {
        constexpr std::array formats = {DrawingFormat::svg, DrawingFormat::pdf};
        auto feeds = draw_feeds(study_, sizing_, formats, why_not);
        if (!feeds) {
            return false;
        }
        pack.files.push_back({"feeds.svg", std::move((*feeds)[0])});
        pack.files.push_back({"feeds.pdf", std::move((*feeds)[1])});
        return add_loom(pack, why_not);
    }

private:
    /// The loom to scale and at full size; nothing for a car whose wires lie in no run.
    bool add_loom(Pack& pack, std::string& why_not) const {
        if (draw::laced_runs(study_).empty()) {
            return true;
        }
        // Laid flat once, for both.
        const draw::LoomPlan plan = draw::loom_plan(study_, sizing_, draw::BoardSize());
        const draw::PaperSheet& paper = paper_ == Paper::a4 ? draw::a4_sheet : draw::letter_sheet;
        const std::array sheet = {draw::loom_sheet(study_, plan)};
        auto loom = draw::write_sheets(sheet, DrawingFormat::pdf, "Loom", why_not);
        auto tiles = draw::write_sheets(draw::loom_tiles(study_, plan, paper), DrawingFormat::pdf,
                                        "Loom at full size", why_not);
        if (!loom || !tiles) {
            return false;
        }
        pack.files.push_back({"loom.pdf", std::move(*loom)});
        pack.files.push_back({"loom-full-size.pdf", std::move(*tiles)});
        return true;
    }

    void add_connectors(Pack& pack) const {
        const std::vector<PlugHalf> halves = wired_halves(study_, sizing_);
        const std::vector<Sheet> tables = connector_tables(study_, sizing_, halves);
        add(pack, connectors_sheet(tables),
            page::connectors_page(study_, halves, tables, findings_, paper_));
    }

    /// A table whose page has nothing but a head besides.
    void add(Pack& pack, Sheet sheet, const page::PageHead& head) const {
        std::string page =
            page::print_page(study_.vehicle, findings_, paper_, head, {{"", {}, sheet}});
        add(pack, std::move(sheet), std::move(page));
    }

    static void add(Pack& pack, Sheet sheet, std::string page) {
        pack.files.push_back({sheet.name + ".csv", sheet_csv(sheet)});
        pack.files.push_back({sheet.name + ".html", std::move(page)});
        pack.tables.push_back(std::move(sheet));
    }

    const StudyInput& study_;
    const Sizing& sizing_;
    const Findings& findings_;
    Paper paper_;
    CutList cuts_;
    BuyingList buying_;
};

} // namespace

std::optional<Paper> paper_named(std::string_view name) {
    std::string lower(name);
    std::ranges::transform(lower, lower.begin(),
                           [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    if (lower == "a4") {
        return Paper::a4;
    }
    return lower == "letter" ? std::optional(Paper::letter) : std::nullopt;
}

std::string cut_list_page(const StudyInput& study, const Sizing& sizing, const Findings& findings,
                          Paper paper) {
    return page::cut_page(study, cut_list(study, sizing), findings, paper);
}

std::optional<Pack> make_pack(const StudyInput& study, const Sizing& sizing,
                              const Findings& findings, Paper paper, std::string& why_not) {
    Pack pack;
    const PackMaker maker(study, sizing, findings, paper);
    maker.add_tables(pack);
    if (!maker.add_drawings(pack, why_not)) {
        return std::nullopt;
    }
    return pack;
}

std::vector<Sheet> pack_tables(const StudyInput& study, const Sizing& sizing) {
    Pack pack;
    PackMaker(study, sizing, {}, Paper::a4).add_tables(pack);
    return std::move(pack.tables);
}

} // namespace loomwright
