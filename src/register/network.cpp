#include "register/network.hpp"

#include <algorithm>
#include <array>

namespace earbudget::registers {

namespace {

struct NetworkRow {
    std::uint64_t type;
    std::string_view name;
};

// Linux: statfs(2) and linux/magic.h; those of file systems outside the kernel (memory).
constexpr auto network_file_systems = std::to_array<NetworkRow>({
    {0x6969, "a network file system (NFS)"},
    {0x517B, "a network file system (SMB)"},
    {0xFF534D42, "a network file system (CIFS)"},
    {0xFE534D42, "a network file system (SMB)"},
    {0x5346414F, "a network file system (AFS)"},
    {0x6B414653, "a network file system (AFS)"},
    {0x73757245, "a network file system (Coda)"},
    {0x564C, "a network file system (NCP)"},
    {0x01021997, "a file system of another machine (9p)"},
    {0x00C36400, "a network file system (Ceph)"},
    {0x01161970, "a file system of a cluster (GFS2)"},
    {0x7461636F, "a file system of a cluster (OCFS2)"},
    {0x0BD00BD0, "a file system of a cluster (Lustre)"},
    {0x47504653, "a file system of a cluster (GPFS)"},
    {0x19830326, "a file system of a cluster (BeeGFS)"},
    {0x65735546, "a file system by another program (FUSE), perhaps of another machine"},
    {0x786F4256, "a folder of another machine (shared with a virtual machine)"},
});

}  // namespace

std::optional<std::string_view> network_file_system(std::uint64_t type) {
    // Where f_type is a signed number of 32 bits, those beyond its range come as negative ones.
    const std::uint64_t bits = type & 0xFFFFFFFFU;
    const auto* const found = std::ranges::find(network_file_systems, bits, &NetworkRow::type);
    if (found == network_file_systems.end()) return std::nullopt;
    return found->name;
}

}  // namespace earbudget::registers
