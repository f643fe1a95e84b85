#include "headjoint/diagnosis/internal/table_store.h"

#include <cstdlib>
#include <new>

namespace headjoint::diagnosis::internal {

TableStore::TableStore(std::size_t cells) {
  constexpr std::size_t kLine = 64;  // bytes
  const std::size_t bytes = (cells * sizeof(double) + kLine - 1) / kLine * kLine;
  void* const room = std::aligned_alloc(kLine, bytes > 0 ? bytes : kLine);
  if (room == nullptr) throw std::bad_alloc();
  values_.reset(static_cast<double*>(room));
}

void TableStore::Free::operator()(double* values) const { std::free(values); }

}  // namespace headjoint::diagnosis::internal
