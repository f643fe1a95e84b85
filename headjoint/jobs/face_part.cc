#include <fmt/format.h>

#include "headjoint/jobs/internal/job_parts.h"

namespace headjoint::jobs {
namespace {

const std::vector<std::string> kPartWords = {"head", "block"};

/// The CSV of a face: `points` names a file, or `table` carries it.
void read_table(TableReader& reader, Face& face, const joint::ReadBeside& read_beside) {
  reader.text("points", face.file);
  reader.text("table", face.table);
  const Document* file = reader.find("points");
  const Document* inside = reader.find("table");
  if ((file == nullptr) == (inside == nullptr)) {
    reader.refuse(reader.document(), "a face needs `points` (a CSV file beside this one) or `table` (the same inside), one of them");
    return;
  }
  if (file != nullptr && file->is_text()) {
    if (const auto text = joint::text_beside(reader, *file, "points", read_beside)) face.table = *text;
  }
}

template <class Io, class F>
void describe_face(Io& io, F& face) {
  io.choice("part", face.part, kPartWords);
  io.integer("head", face.head, 1, 16);
  joint::figure(io, "uncertainty", face.uncertainty, "0.0001 mm", "1 mm");
  io.text("tool", face.tool);
  io.text("taken", face.taken);
  io.text("note", face.note);
  io.text("void", face.void_reason);
}

}  // namespace

void read_face(TableReader& reader, Face& face, const EngineInHand& in_hand, const joint::ReadBeside& read_beside) {
  face.place = reader.document().place();
  (void)reader.required("part");
  describe_face(reader, face);
  if (in_hand.known && static_cast<std::size_t>(face.head) > in_hand.names.heads.size())
    reader.refuse(*reader.find("head"), fmt::format("this engine has no head {}", face.head), "heads " + word_list(in_hand.names.heads));
  read_table(reader, face, read_beside);
}

Document write_face(const Face& face) {
  TableWriter writer;
  describe_face(writer, face);
  if (face.file.empty())
    writer.put("table", face.table);
  else
    writer.put("points", face.file);
  return writer.take();
}

}  // namespace headjoint::jobs
