# `cmake --install build`: programs, library with its headers and CMake package, manual page, the
# shells' completion, documents and the demo.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

install(TARGETS earbudget_program RUNTIME)
install(PROGRAMS src/archive/earbudget-collect TYPE BIN)
install(TARGETS earbudget EXPORT earbudget-targets ARCHIVE)
install(DIRECTORY include/earbudget TYPE INCLUDE)

set(package_folder ${CMAKE_INSTALL_LIBDIR}/cmake/earbudget)
install(EXPORT earbudget-targets NAMESPACE earbudget:: DESTINATION ${package_folder})
configure_package_config_file(src/install/earbudget-config.cmake.in earbudget-config.cmake
  INSTALL_DESTINATION ${package_folder})
write_basic_package_version_file(earbudget-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES
  ${PROJECT_BINARY_DIR}/earbudget-config.cmake ${PROJECT_BINARY_DIR}/earbudget-config-version.cmake
  DESTINATION ${package_folder})

install(FILES ${PROJECT_BINARY_DIR}/guides/earbudget.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${PROJECT_BINARY_DIR}/guides/earbudget.bash
  DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME earbudget)
# zsh looks into the first for what is below /usr/local, Debian's into the second for packages.
foreach(folder site-functions vendor-completions)
  install(FILES ${PROJECT_BINARY_DIR}/guides/earbudget.zsh
    DESTINATION ${CMAKE_INSTALL_DATADIR}/zsh/${folder} RENAME _earbudget)
endforeach()
install(FILES ${PROJECT_BINARY_DIR}/guides/earbudget.fish
  DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)
install(FILES README.md LICENSE TYPE DOC)
install(FILES LICENSE TYPE DOC RENAME copyright)  # where Debian looks for it
install(DIRECTORY docs TYPE DOC)
install(DIRECTORY sequences recordings DESTINATION ${CMAKE_INSTALL_DATADIR}/earbudget/demo)
