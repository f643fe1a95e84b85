#include "headjoint/diagnosis/internal/table_store.h"

#include <cstdlib>
#include <new>

#if defined(__linux__)
#include <sys/mman.h>
#endif

namespace headjoint::diagnosis::internal {
namespace {

constexpr std::size_t kVector = 64;  // bytes
constexpr std::size_t kLargePage = std::size_t{1} << 21;
constexpr std::size_t kWorthLargePages = 2 * kLargePage;

}  // namespace

TableStore::TableStore(std::size_t cells) {
  std::size_t bytes = cells * sizeof(double);
  const std::size_t alignment = bytes >= kWorthLargePages ? kLargePage : kVector;
  bytes = (bytes + alignment - 1) / alignment * alignment;
  void* const room = std::aligned_alloc(alignment, bytes > 0 ? bytes : alignment);
  if (room == nullptr) throw std::bad_alloc();
#if defined(__linux__)
  if (alignment == kLargePage) (void)madvise(room, bytes, MADV_HUGEPAGE);  // a wish: refused, the pages are small ones
#endif
  values_.reset(static_cast<double*>(room));
}

void TableStore::Free::operator()(double* values) const { std::free(values); }

}  // namespace headjoint::diagnosis::internal
