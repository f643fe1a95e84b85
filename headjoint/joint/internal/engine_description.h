#pragma once

#include <functional>
#include <string>
#include <vector>

#include "headjoint/joint/engine_file.h"
#include "headjoint/joint/figure_file.h"

/// The keys of an engine file, each once: the same description reads (Io = TableReader) and writes (Io = TableWriter).
namespace headjoint::joint {

[[nodiscard]] const std::vector<std::string>& layout_words();

struct EngineDescription {
  const ReadBeside& read_beside;

  template <class Io, class E>
  void engine(Io& io, E& engine) const;

 private:
  template <class Io, class T>
  void general(Io& io, T& general) const;
  template <class Io, class T>
  void chamber(Io& io, T& chamber) const;
  template <class Io, class T>
  void material(Io& io, T& material) const;
  template <class Io, class T>
  void head(Io& io, T& head) const;
  template <class Io, class T>
  void block(Io& io, T& block) const;
  template <class Io, class T>
  void bore(Io& io, T& bore) const;
  template <class Io, class T>
  void passage(Io& io, T& passage) const;
  template <class Io, class T>
  void region(Io& io, T& region) const;
  template <class Io, class T>
  void gasket(Io& io, T& gasket) const;
  template <class Io, class T>
  void bolts(Io& io, T& bolts) const;
  template <class Io, class T>
  void tightening(Io& io, T& tightening) const;
  template <class Io, class T>
  void cooling(Io& io, T& cooling) const;
  template <class Io, class T>
  void valve_row(Io& io, T& row) const;
  template <class Io, class T>
  void valves(Io& io, T& valves) const;
  template <class Io, class T>
  void cam_drive(Io& io, T& drive) const;
  template <class Io, class T>
  void limits(Io& io, T& limits) const;
};

extern template void EngineDescription::engine(TableReader&, Engine&) const;
extern template void EngineDescription::engine(TableWriter&, const Engine&) const;

/// Fills in what follows from the rest (number of cylinders, arrangement of heads) and lists what cannot be true together.
void settle_and_check(const Document& document, Engine& engine, Problems& problems);

}  // namespace headjoint::joint
