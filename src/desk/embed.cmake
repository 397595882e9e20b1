# Writes the files ASSETS as texts into the C++ source OUTPUT.
set(rows "")
foreach(asset IN LISTS ASSETS)
  cmake_path(GET asset FILENAME name)
  file(READ ${asset} content)
  string(APPEND rows "        {\"${name}\", R\"~~~~(${content})~~~~\"},\n")
endforeach()
file(WRITE ${OUTPUT} "#include \"desk/assets.hpp\"

namespace earbudget::desk {

const std::vector<Asset>& assets() {
    static const std::vector<Asset> all = {
${rows}    };
    return all;
}

}  // namespace earbudget::desk
")
