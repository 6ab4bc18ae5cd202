// SPDX-License-Identifier: MIT
// SPDX-FileCopyrightText: Loomwright contributors
#pragma once

#include "checks/checks.hpp"
#include "diag/proof.hpp"
#include "loom/bundle.hpp"

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace loomwright {

class Gathered;

/// Explains one thing of a car after another; what the proofs share is gathered once. Not for two
/// threads at a time.
class Explainer {
public:
    /// What `input` refers to outlives this. `files` give findings their places; without, they have
    /// none. `bundles` that are made already, by RunId, are not made again, and outlive this too.
    explicit Explainer(const CheckInput& input, const SourceFiles* files = nullptr,
                       std::span<const RunBundle> bundles = {});
    ~Explainer();
    Explainer(const Explainer&) = delete;
    Explainer& operator=(const Explainer&) = delete;
    Explainer(Explainer&&) = delete;
    Explainer& operator=(Explainer&&) = delete;

    /// Everything that was computed about a wire, device, state, run or point, formula by formula
    /// with the numbers put in and their sources, so that it can be redone with a pocket
    /// calculator. A name that several of these have gives all of them, each title with its kind
    /// before it. Nothing for a name that is none of these.
    [[nodiscard]] std::optional<std::vector<ProofSection>> explain(std::string_view id);

    /// A finding: its figures, how its margin comes about, where its limit comes from, what to do,
    /// and what else was computed about its subject.
    [[nodiscard]] std::vector<ProofSection> explain_finding(const Finding& finding);

    /// "fuse-over-wire:12.2": each finding of that rule on that subject; "fuse-over-wire": the rule
    /// and the list of its findings. Nothing for what is no rule, or where the rule has no finding
    /// on that subject.
    [[nodiscard]] std::optional<std::vector<ProofSection>>
    explain_rule(std::string_view id, std::span<const Finding> findings);

private:
    std::unique_ptr<Gathered> gathered_;
    const SourceFiles* files_;
};

/// One thing alone: as Explainer::explain.
[[nodiscard]] std::optional<std::vector<ProofSection>> explain(const CheckInput& input,
                                                               std::string_view id);
/// One finding alone: as Explainer::explain_finding, without its place.
[[nodiscard]] std::vector<ProofSection> explain_finding(const CheckInput& input,
                                                        const Finding& finding);

/// The rule that "fuse-over-wire" or "fuse-over-wire:12.2" asks for; nullptr for none.
[[nodiscard]] const RuleInfo* rule_asked(std::string_view id);

/// Every name that can be explained: wires, devices, states, runs, points, then rules.
[[nodiscard]] std::vector<std::string> explained_names(const Vehicle& vehicle);

} // namespace loomwright
