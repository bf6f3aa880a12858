package org.tarebook.http;

import java.math.BigDecimal;
import java.net.InetAddress;
import java.time.Clock;
import java.time.Duration;
import java.time.Instant;
import java.time.LocalDate;
import java.time.LocalTime;
import java.time.temporal.ChronoUnit;
import java.util.stream.Stream;
import org.apache.catalina.core.StandardHost;
import org.jspecify.annotations.Nullable;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.beans.factory.annotation.Value;
import org.springframework.boot.tomcat.servlet.TomcatServletWebServerFactory;
import org.springframework.boot.web.server.WebServerFactoryCustomizer;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.core.convert.ConversionService;
import org.springframework.core.convert.converter.Converter;
import org.springframework.core.convert.converter.ConverterFactory;
import org.springframework.format.FormatterRegistry;
import org.springframework.http.converter.HttpMessageConverters;
import org.springframework.validation.Validator;
import org.springframework.web.bind.support.ConfigurableWebBindingInitializer;
import org.springframework.web.servlet.config.annotation.InterceptorRegistry;
import org.springframework.web.servlet.config.annotation.WebMvcConfigurer;
import org.tarebook.quantity.Decimals;
import org.tarebook.quantity.Quoted;
import tools.jackson.databind.json.JsonMapper;

/**
 * Times, numbers, truth values and names in parameters, unknown parameters, unreadable requests,
 * and the server's clock.
 */
@Configuration(proxyBeanMethods = false)
class HttpConfiguration implements WebMvcConfigurer {

  private static final Duration LONGEST_WAIT = Duration.ofSeconds(5);

  private final JsonMapper json;
  private final int studiesAtOnce;
  private final Duration longestStudy;

  HttpConfiguration(
      JsonMapper json,
      @Value("${tarebook.studies-at-once}") int studiesAtOnce,
      @Value("${tarebook.longest-study}") Duration longestStudy) {
    this.json = json;
    this.studiesAtOnce = studiesAtOnce;
    this.longestStudy = longestStudy;
  }

  @Override
  public void addFormatters(FormatterRegistry registry) {
    registry.addConverter(String.class, Instant.class, Times::parse);
    registry.addConverter(
        String.class,
        Integer.class,
        text -> (int) Values.whole(text, Integer.MIN_VALUE, Integer.MAX_VALUE));
    registry.addConverter(
        String.class, Long.class, text -> Values.whole(text, Long.MIN_VALUE, Long.MAX_VALUE));
    registry.addConverter(String.class, Double.class, Values::fraction);
    registry.addConverter(String.class, BigDecimal.class, Decimals::parse);
    registry.addConverter(String.class, Boolean.class, Values::truth);
    registry.addConverter(String.class, LocalDate.class, Times::date);
    registry.addConverter(String.class, LocalTime.class, Times::timeOfDay);
    registry.addConverter(String.class, Duration.class, Times::duration);
    registry.addConverterFactory(new Names());
  }

  /** Behind the others: who takes any form gets JSON. */
  @Override
  public void configureMessageConverters(HttpMessageConverters.ServerBuilder converters) {
    converters.configureMessageConvertersList(list -> list.add(new PagesAsCsv(json)));
  }

  @Override
  public void addInterceptors(InterceptorRegistry registry) {
    registry.addInterceptor(new Forms());
    registry.addInterceptor(new KnownParameters());
    registry
        .addInterceptor(new StudiesAtOnce(studiesAtOnce, LONGEST_WAIT, longestStudy))
        .addPathPatterns(StudiesAtOnce.PATHS);
  }

  /** Reads enum constants by their exact names. */
  @SuppressWarnings("rawtypes")
  private static final class Names implements ConverterFactory<String, Enum> {

    @Override
    public <T extends Enum> Converter<String, T> getConverter(Class<T> wanted) {
      return text ->
          Stream.of(wanted.getEnumConstants())
              .filter(constant -> constant.name().equals(text))
              .findFirst()
              .orElseThrow(() -> new IllegalArgumentException(Quoted.of(text)));
    }
  }

  @Bean
  ConfigurableWebBindingInitializer strictParameters(
      @Qualifier("mvcConversionService") ConversionService converters,
      @Qualifier("mvcValidator") Validator validator) {
    ConfigurableWebBindingInitializer initializer = new ConfigurableWebBindingInitializer();
    initializer.setConversionService(new StrictConversion(converters));
    initializer.setValidator(validator);
    return initializer;
  }

  /** The server's clock, to the microsecond that the database keeps. */
  @Bean
  Clock clock() {
    return Clock.tick(Clock.systemUTC(), Duration.of(1, ChronoUnit.MICROS));
  }

  /**
   * A connector of few threads of its own for the probes, so that they answer however busy the
   * others are, and the waiting for slow bodies, which probes never reach.
   */
  @Bean
  WebServerFactoryCustomizer<TomcatServletWebServerFactory> probes(
      @Value("${server.port}") int main,
      @Value("${tarebook.probe-port}") @Nullable Integer port,
      @Value("${tarebook.probe-address}") InetAddress address,
      @Value("${tarebook.body-patience}") Duration patience) {
    return server -> {
      Probes probes = new Probes(port != null ? port : Probes.portBeside(main), address);
      server.setProtocol(PacedProtocol.class.getName());
      server.addAdditionalConnectors(probes.connector());
      server.addEngineValves(probes, new SlowBodies(patience));
    };
  }

  @Bean
  WebServerFactoryCustomizer<TomcatServletWebServerFactory> unreadableRequests() {
    return server ->
        server.addContextCustomizers(
            context ->
                ((StandardHost) context.getParent())
                    .setErrorReportValveClass(UnreadableRequests.class.getName()));
  }
}
