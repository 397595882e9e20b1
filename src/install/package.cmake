# `cpack -G DEB` in the build folder: one package with everything that is installed.
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME earbudget)
set(CPACK_PACKAGE_CONTACT "The earbudget developers <earbudget@localhost>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY
  "Noise exposure around an MRI scanner and the ear protection that keeps the limits")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
# Readable by all, whatever the umask of whoever packs.
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS
  OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE WORLD_READ WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
# What the program is linked with, with versions, as dpkg-shlibdeps finds it.
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
# To measure an archive, and to build with the library.
set(CPACK_DEBIAN_PACKAGE_SUGGESTS
  "parallel, python3, rsync, cmake, libeigen3-dev (>= 3.4), libfmt-dev (>= 9), libkissfft-dev")
include(CPack)
