#pragma once

#include <cstddef>
#include <memory>

namespace headjoint::diagnosis::internal {

/// Room for many tables, without a value until written. Aligned for the widest vectors; in large pages where the system has them on offer,
/// since a tree is filled once or a few times and the first touch of a page costs more than the sums in it.
class TableStore {
 public:
  TableStore() = default;
  explicit TableStore(std::size_t cells);

  [[nodiscard]] bool empty() const { return values_ == nullptr; }
  [[nodiscard]] double* data() const { return values_.get(); }

 private:
  struct Free {
    void operator()(double* values) const;
  };
  std::unique_ptr<double[], Free> values_;
};

}  // namespace headjoint::diagnosis::internal
