// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#include "page/page_data.hpp"
#include "page/papers.hpp"

#include <fmt/format.h>

namespace loomwright::page {

std::string labels_page(const StudyInput& study, const std::vector<WireLabel>& labels,
                        const std::vector<std::string>& notes, const Findings& findings,
                        Paper paper) {
    Data data = page_data(study.vehicle, findings, paper);
    data.set("summary", counted(labels.size(), "label", "labels"));
    Data::List rows;
    for (const WireLabel& label : labels) {
        Data row;
        row.set("text", label.text);
        row.set("goes_to", label.goes_to);
        row.set("place", label.of > 1 ? fmt::format("{} of {}", label.place, label.of) : "");
        row.set("sleeve", label.sleeve);
        rows.push_back(std::move(row));
    }
    data.set("labels", std::move(rows));
    data.set("notes", text_rows("text", notes));
    return render("labels.html", data);
}

} // namespace loomwright::page
