// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "diag/finding.hpp"
#include "page/pack.hpp"

#include <memory>
#include <string>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

// Inside the room only: what the pages share. Users of the room see pack.hpp.

namespace loomwright::page {

/// A part of a page that is made already, for a tag of three braces. It may be megabytes long: it
/// goes into the page without being copied on the way.
struct Markup {
    std::string text;
};

/// What a template is filled in with: texts, yes or no, and lists of the same, by name.
class Data {
public:
    using List = std::vector<Data>;
    using Value = std::variant<std::string, bool, List, Markup>;

    void set(std::string name, std::string text) { add(std::move(name), std::move(text)); }
    void set(std::string name, const char* text) { add(std::move(name), std::string(text)); }
    void set(std::string name, bool is_so) { add(std::move(name), is_so); }
    void set(std::string name, List list) { add(std::move(name), std::move(list)); }
    void set(std::string name, Markup part) { add(std::move(name), std::move(part)); }
    [[nodiscard]] const std::vector<std::pair<std::string, Value>>& values() const {
        return values_;
    }

private:
    void add(std::string name, Value value) {
        values_.emplace_back(std::move(name), std::move(value));
    }
    std::vector<std::pair<std::string, Value>> values_;
};

/// An embedded template, read once for all that is filled into it.
class Template {
public:
    explicit Template(std::string_view name);
    ~Template();
    Template(const Template&) = delete;
    Template& operator=(const Template&) = delete;
    Template(Template&&) = delete;
    Template& operator=(Template&&) = delete;
    /// Appends what `render` answers.
    void render(const Data& data, std::string& out);

private:
    struct Read;
    std::unique_ptr<Read> read_;
};

/// The embedded template of this name filled in with `data`; every value is escaped for HTML unless
/// its tag has three braces.
[[nodiscard]] std::string render(std::string_view template_name, const Data& data);

/// What every page has: title, revision, style for the paper, cautions, verdict and waivers.
[[nodiscard]] Data page_data(const Vehicle& vehicle, const Findings& findings, Paper paper);

/// Width of the lying sheet without its margins.
[[nodiscard]] int text_width_mm(Paper paper);

/// Each text as a row with it under `name`.
[[nodiscard]] Data::List text_rows(std::string_view name, const std::vector<std::string>& texts);

/// Text with its line ends as the content of an element.
[[nodiscard]] std::string markup_lines(std::string_view text);

/// "1 wire", "3 wires".
[[nodiscard]] std::string counted(std::size_t count, std::string_view one, std::string_view many);

} // namespace loomwright::page
