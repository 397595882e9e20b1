#pragma once

namespace earbudget::benchmark {

/// What the rest of the machine does meanwhile: times on a busy machine compare badly, above all
/// those of programs that use several processors.
class OtherWork {
  public:
    OtherWork();

    /// Processors that others kept busy since construction, on average: 0 on a quiet machine.
    [[nodiscard]] double processors() const;

  private:
    double start_s_;
    double others_s_;
};

}  // namespace earbudget::benchmark
