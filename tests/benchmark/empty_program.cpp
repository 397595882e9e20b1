// What starting a program costs that is linked with the same libraries and does nothing.
int main() { return 0; }
