#pragma once

#include <cstddef>
#include <memory>

namespace headjoint::diagnosis::internal {

/// Room for many tables, without a value until written, aligned for the widest vectors.
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
