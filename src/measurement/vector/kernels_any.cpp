#include "measurement/vector/kernels.hpp"

#define EARBUDGET_KERNELS kernels_any
#include "measurement/vector/kernels.ipp"
