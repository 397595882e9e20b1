#pragma once

#include "earbudget/computing/rows.hpp"
#include "waveforms/seq_parts.hpp"

namespace earbudget::waveforms {

/// The extensions that are understood (the format's specification 1.5.3, "Extensions").
inline constexpr auto extension_kinds = rows_of<NameRow<ExtensionKind>>({
    {ExtensionKind::Triggers, "TRIGGERS"},
    {ExtensionKind::SetLabel, "LABELSET"},
    {ExtensionKind::AddToLabel, "LABELINC"},
    {ExtensionKind::SoftDelays, "DELAYS"},
    {ExtensionKind::Rotations, "ROTATIONS"},
    {ExtensionKind::Shims, "RF_SHIMS"},
    {ExtensionKind::Unknown, "(unknown)"},
});

}  // namespace earbudget::waveforms
