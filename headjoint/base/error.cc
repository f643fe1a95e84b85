#include "headjoint/base/error.h"

namespace headjoint {

ContractError::ContractError(const std::string& what, const char* file, int line)
    : std::logic_error(std::string(file) + ":" + std::to_string(line) + ": " + what) {}

InputError::InputError(const std::string& argument, const std::string& what)
    : std::invalid_argument(argument + ": " + what), argument_(argument) {}

}  // namespace headjoint
