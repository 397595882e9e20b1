#include "measurement/vector/kernels.hpp"

#define EARBUDGET_KERNELS kernels_avx2
#include "measurement/vector/kernels.ipp"
