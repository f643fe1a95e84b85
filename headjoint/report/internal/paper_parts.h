#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "headjoint/assess/results.h"
#include "headjoint/report/internal/html_table.h"
#include "headjoint/report/paper.h"

/// Pieces of HTML that papers are made of. Every text from outside is escaped here.
namespace headjoint::report {

/// The whole document: head with the style, title block, the body in a table whose head repeats the job on every page.
/// @param kind    "Record"
/// @param layout  class of the main part: "record" | "owner" | "shop"
/// @param footer  stands under the body; `basis` when empty
[[nodiscard]] std::string paper_document(std::string_view kind, std::string_view layout, const assess::Assessment& all,
                                         const PaperStamp& stamp, const std::string& body, const std::string& footer = {});

/// <h2>
[[nodiscard]] std::string section(std::string_view heading);

/// <p>, escaped; "" for an empty text.
[[nodiscard]] std::string paragraph(std::string_view text, std::string_view name = {});

/// <ul>, each escaped; "" for none.
[[nodiscard]] std::string bullets(const std::vector<std::string>& items);

/// A ruled box with the signal word and the message.
[[nodiscard]] std::string caution_box(const assess::Caution& caution);

/// Suspects with chance, range in figures and a ruled bar with the range as a bracket over it; "" for none.
[[nodiscard]] std::string suspects_table(std::string_view caption, const std::vector<assess::Suspect>& suspects);

/// `count` lines to write on by hand.
[[nodiscard]] std::string write_in_lines(int count);

/// Name and date to be signed.
[[nodiscard]] std::string signature();

/// The lines that stand under every paper: what the chances rest on, and who comes first.
[[nodiscard]] std::string basis(const assess::Assessment& all);

}  // namespace headjoint::report
