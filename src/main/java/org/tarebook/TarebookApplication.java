package org.tarebook;

import java.io.PrintStream;
import java.util.Arrays;
import java.util.Optional;
import org.slf4j.Logger;
import org.slf4j.LoggerFactory;
import org.springframework.beans.factory.config.BeanFactoryPostProcessor;
import org.springframework.boot.SpringApplication;
import org.springframework.boot.autoconfigure.SpringBootApplication;
import org.springframework.boot.autoconfigure.condition.ConditionalOnWebApplication;
import org.springframework.boot.security.autoconfigure.UserDetailsServiceAutoConfiguration;
import org.springframework.boot.task.ThreadPoolTaskSchedulerCustomizer;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.core.env.ConfigurableEnvironment;
import org.springframework.scheduling.annotation.EnableScheduling;
import org.tarebook.command.CommandLine;
import org.tarebook.command.Help;
import org.tarebook.command.StartFailure;
import org.tarebook.storage.Outages;

/** Starts Tarebook, the quality record of a tyre plant's shop floor. */
@SpringBootApplication(exclude = UserDetailsServiceAutoConfiguration.class)
public class TarebookApplication {

  /**
   * Starts the service, or runs a command and exits with its code; tells what it is asked about
   * itself.
   *
   * @param args a command with its arguments, or none; and settings, as Spring Boot reads them
   */
  public static void main(String[] args) {
    if (Help.told(Arrays.asList(args), System.out)) {
      return;
    }
    Optional<CommandLine> command = CommandLine.of(args);
    if (command.isPresent()) {
      System.exit(command.get().run(TarebookApplication.class, System.out, System.err));
    }
    try {
      SpringApplication.run(TarebookApplication.class, args);
    } catch (Throwable failure) {
      tell(failure, Arrays.asList(args).contains("--debug"), System.err);
      System.exit(1);
    }
  }

  /** One line that says why the service does not start; the trace only where it is asked for. */
  static void tell(Throwable failure, boolean withTrace, PrintStream err) {
    err.println(
        "Tarebook does not start: "
            + StartFailure.reason(failure)
                .orElseGet(
                    () ->
                        StartFailure.unforeseen(failure)
                            + ". Start it with --debug to see where this failed."));
    if (withTrace) {
      failure.printStackTrace(err);
    }
  }

  @Bean
  static BeanFactoryPostProcessor settings(ConfigurableEnvironment environment) {
    return beans -> new Settings(environment).check();
  }

  /** What runs by the clock runs in the service, not beside a command. */
  @Configuration(proxyBeanMethods = false)
  @ConditionalOnWebApplication
  @EnableScheduling
  static class Schedules {

    private static final Logger log = LoggerFactory.getLogger(Schedules.class);

    /** A round that the database failed is tried again by the clock, and logged as requests are. */
    @Bean
    ThreadPoolTaskSchedulerCustomizer roundsThatFail(Outages outages) {
      return scheduler ->
          scheduler.setErrorHandler(
              failure -> {
                if (outages.note(failure).isEmpty()) {
                  log.error("A scheduled round failed", failure);
                }
              });
    }
  }
}
