#include "desk/session_drawings.hpp"

#include <string_view>

#include <fmt/format.h>

namespace earbudget::desk::at_session {

namespace {

// Each picture is 120 wide and 120 high. Lines are `o` (ink), what is put in is `p`, what moves
// `m`.

/// An ear from the side, its canal at 58,66.
constexpr std::string_view drawn_ear =
    "<path class=\"o\" d=\"M44 78 C30 62 28 22 60 16 C90 12 100 46 86 68 C78 80 74 82 72 94 "
    "C69 108 48 110 46 92 C45 86 48 84 44 78 Z\"/>"
    "<path class=\"o\" d=\"M46 54 C44 30 64 24 74 36 C84 50 70 58 66 72 C64 80 56 80 54 74\"/>"
    "<circle class=\"f\" cx=\"58\" cy=\"66\" r=\"5\"/>";

/// A finger that comes from the right and ends at 0,0.
constexpr std::string_view finger =
    "<path class=\"w\" d=\"M70 -9 L10 -9 C-4 -9 -4 9 10 9 L70 9\"/>"
    "<path class=\"o\" d=\"M4 -4 C0 -2 0 2 4 4\"/>";

constexpr std::string_view arrow_head = "<path class=\"h\" d=\"M-7 -5 L3 0 L-7 5 Z\"/>";

std::string at(double x, double y, double turned, std::string_view what) {
    return fmt::format("<g transform=\"translate({} {}) rotate({})\">{}</g>", x, y, turned, what);
}

std::string picture(std::string_view content) {
    return fmt::format(
        "<svg class=\"how\" viewBox=\"0 0 120 120\" aria-hidden=\"true\" focusable=\"false\">{}"
        "</svg>\n",
        content);
}

/// Two fingers that roll a plug: from thick to thin.
std::string rolling() {
    return picture(
        "<rect class=\"p\" x=\"10\" y=\"12\" width=\"44\" height=\"26\" rx=\"9\"/>"
        "<path class=\"m\" d=\"M64 25 L84 25\"/>" +
        at(88, 25, 0, arrow_head) +
        "<rect class=\"p\" x=\"22\" y=\"73\" width=\"76\" height=\"9\" rx=\"4\"/>"
        "<path class=\"w\" d=\"M120 52 L52 52 C36 52 36 71 52 71 L120 71\"/>"
        "<path class=\"w\" d=\"M120 84 L52 84 C36 84 36 103 52 103 L120 103\"/>"
        "<path class=\"m\" d=\"M12 60 L28 60\"/>" +
        at(10, 60, 180, arrow_head) + "<path class=\"m\" d=\"M8 94 L24 94\"/>" +
        at(26, 94, 0, arrow_head));
}

/// A hand that pulls the ear up and back; what is put in comes from the left.
std::string pulling(std::string_view plug) {
    return picture(std::string(drawn_ear) + at(80, 28, -38, finger) +
                   "<path class=\"m\" d=\"M92 62 L108 46\"/>" + at(110, 44, -45, arrow_head) +
                   at(52, 66, 0, plug));
}

/// A fingertip that holds the plug in, with a clock.
std::string holding() {
    return picture(std::string(drawn_ear) + "<circle class=\"p\" cx=\"58\" cy=\"66\" r=\"8\"/>" +
                   at(60, 68, 24, finger) +
                   "<circle class=\"w\" cx=\"20\" cy=\"22\" r=\"15\"/>"
                   "<path class=\"o\" d=\"M20 12 L20 22 L28 26\"/>");
}

constexpr std::string_view thin_plug =
    "<rect class=\"p\" x=\"-48\" y=\"-5\" width=\"52\" height=\"10\" rx=\"4\"/>";
constexpr std::string_view flanged_plug =
    "<path class=\"p\" d=\"M8 -4 L-2 -9 L-2 -5 L-10 -12 L-10 -5 L-18 -15 L-18 -5 L-48 -5 L-48 5 "
    "L-18 5 L-18 15 L-10 5 L-10 12 L-2 5 L-2 9 L8 4 Z\"/>";
constexpr std::string_view moulded_plug =
    "<path class=\"p\" d=\"M6 -5 C-8 -8 -14 -22 -30 -18 C-44 -14 -44 16 -30 18 C-16 20 -8 8 6 5 "
    "Z\"/>";

/// The plug turned in until it seals.
std::string turning() {
    return picture(std::string(drawn_ear) + "<circle class=\"p\" cx=\"58\" cy=\"66\" r=\"10\"/>" +
                   "<path class=\"m\" d=\"M34 66 A24 24 0 1 1 58 90\"/>" +
                   at(56, 90, 180, arrow_head));
}

/// Caps on a band under the chin.
std::string caps() {
    return picture(
        "<circle class=\"o\" cx=\"60\" cy=\"48\" r=\"32\"/>"
        "<path class=\"o\" d=\"M48 40 L48 46 M72 40 L72 46 M50 64 L70 64\"/>"
        "<path class=\"m\" d=\"M20 50 C20 112 100 112 100 50\"/>"
        "<rect class=\"p\" x=\"19\" y=\"42\" width=\"12\" height=\"12\" rx=\"4\"/>"
        "<rect class=\"p\" x=\"89\" y=\"42\" width=\"12\" height=\"12\" rx=\"4\"/>" +
        at(14, 48, 0, arrow_head) + at(106, 48, 180, arrow_head));
}

/// A head from the front with cups over both ears, hair away from under the cushions.
std::string cups() {
    return picture(
        "<circle class=\"o\" cx=\"60\" cy=\"64\" r=\"32\"/>"
        "<path class=\"o\" d=\"M48 58 L48 64 M72 58 L72 64 M50 82 L70 82\"/>"
        "<path class=\"m\" d=\"M25 52 C25 8 95 8 95 52\"/>"
        "<rect class=\"p\" x=\"14\" y=\"46\" width=\"18\" height=\"38\" rx=\"8\"/>"
        "<rect class=\"p\" x=\"88\" y=\"46\" width=\"18\" height=\"38\" rx=\"8\"/>");
}

/// The cushion on bare skin all around the ear.
std::string cushion() {
    return picture(std::string(drawn_ear) +
                   "<ellipse class=\"m\" cx=\"64\" cy=\"62\" rx=\"44\" ry=\"54\"/>"
                   "<ellipse class=\"m\" cx=\"64\" cy=\"62\" rx=\"34\" ry=\"45\"/>");
}

/// A head lying in a coil with pads on both sides.
std::string pads() {
    return picture(
        "<path class=\"o\" d=\"M14 108 L14 44 C14 0 106 0 106 44 L106 108\"/>"
        "<ellipse class=\"o\" cx=\"60\" cy=\"62\" rx=\"26\" ry=\"34\"/>"
        "<path class=\"o\" d=\"M50 54 L50 60 M70 54 L70 60 M52 80 L68 80\"/>"
        "<rect class=\"p\" x=\"18\" y=\"34\" width=\"15\" height=\"58\" rx=\"6\"/>"
        "<rect class=\"p\" x=\"87\" y=\"34\" width=\"15\" height=\"58\" rx=\"6\"/>");
}

}  // namespace

std::string how_to_seat(ProtectorType type) {
    switch (type) {
        case ProtectorType::FoamPlug:
            return rolling() + pulling(thin_plug) + holding();
        case ProtectorType::PremouldedPlug:
            return pulling(flanged_plug) + turning();
        case ProtectorType::CustomPlug:
            return pulling(moulded_plug) + turning();
        case ProtectorType::CanalCap:
            return caps();
        case ProtectorType::Earmuff:
            return cups() + cushion();
        case ProtectorType::Pad:
            return pads();
    }
    return "";
}

}  // namespace earbudget::desk::at_session
