package org.tarebook.cure;

import java.util.List;
import java.util.function.Predicate;
import org.tarebook.schedule.Measured;
import org.tarebook.schedule.PressureKind;

/**
 * The logs that serve one cavity and can be believed.
 *
 * @param barometerError of the barometer by which gauge pressures were made absolute, in kPa
 */
record Serving(List<ChannelLog> logs, double barometerError) {

  Serving {
    logs = logs.stream().filter(log -> !log.empty()).toList();
  }

  List<ChannelLog> logs(Predicate<Channel> wanted) {
    return logs.stream().filter(log -> wanted.test(log.channel())).toList();
  }

  List<ChannelLog> logs(Measured measured) {
    return logs(channel -> channel.measured() == measured);
  }

  /** Largest error of an absolute pressure, in kPa. */
  double pressureError(ChannelLog log, double kiloPascal) {
    double own = log.error(kiloPascal);
    return log.channel().pressure() == PressureKind.GAUGE ? Math.hypot(own, barometerError) : own;
  }
}
