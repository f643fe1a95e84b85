#include "headjoint/base/error.h"

namespace headjoint {

ContractError::ContractError(const std::string& what, std::source_location where)
    : std::logic_error(std::string(where.file_name()) + ":" + std::to_string(where.line()) + ": " + what) {}

InputError::InputError(const std::string& argument, const std::string& what)
    : std::invalid_argument(argument + ": " + what), argument_(argument) {}

}  // namespace headjoint
