package org.tarebook.access;

import static org.springframework.http.HttpMethod.GET;
import static org.springframework.http.HttpMethod.HEAD;
import static org.springframework.http.HttpMethod.OPTIONS;
import static org.springframework.http.HttpMethod.POST;
import static org.springframework.http.HttpMethod.PUT;
import static org.springframework.security.web.servlet.util.matcher.PathPatternRequestMatcher.pathPattern;

import jakarta.servlet.DispatcherType;
import jakarta.servlet.ServletException;
import jakarta.servlet.http.HttpServletRequest;
import java.util.List;
import java.util.stream.Stream;
import org.springdoc.core.utils.SpringDocUtils;
import org.springframework.beans.factory.annotation.Qualifier;
import org.springframework.context.annotation.Bean;
import org.springframework.context.annotation.Configuration;
import org.springframework.jdbc.core.simple.JdbcClient;
import org.springframework.security.config.annotation.web.builders.HttpSecurity;
import org.springframework.security.config.annotation.web.configurers.AbstractHttpConfigurer;
import org.springframework.security.config.http.SessionCreationPolicy;
import org.springframework.security.config.observation.SecurityObservationSettings;
import org.springframework.security.web.SecurityFilterChain;
import org.springframework.security.web.access.ExceptionTranslationFilter;
import org.springframework.security.web.header.writers.ReferrerPolicyHeaderWriter.ReferrerPolicy;
import org.springframework.security.web.util.matcher.OrRequestMatcher;
import org.springframework.security.web.util.matcher.RequestMatcher;
import org.springframework.web.method.support.HandlerMethodArgumentResolver;
import org.springframework.web.servlet.config.annotation.WebMvcConfigurer;
import org.springframework.web.servlet.mvc.method.annotation.RequestMappingHandlerMapping;
import org.tarebook.audit.Actor;

/** Security: stateless, by bearer token, and the table of who may do what. */
@Configuration(proxyBeanMethods = false)
class AccessConfiguration implements WebMvcConfigurer {

  private static final String OWN_CONTENT_ONLY =
      "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data:;"
          + " object-src 'none'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'";

  private static final String[] PLANT = {
    "/api/v1/lines/**",
    "/api/v1/stations/**",
    "/api/v1/instruments/**",
    "/api/v1/components/**",
    "/api/v1/products/**",
    "/api/v1/shift-calendars/**",
    "/api/v1/characteristics/**",
    "/api/v1/control-plan/**",
    "/api/v1/items/**",
    "/api/v1/presses/**",
    "/api/v1/column-plans/**",
    "/api/v1/verdict-charts/**"
  };

  static {
    SpringDocUtils.getConfig().addRequestWrapperToIgnore(Actor.class);
  }

  @Override
  public void addArgumentResolvers(List<HandlerMethodArgumentResolver> resolvers) {
    resolvers.add(new ActorArgument());
  }

  /** Filters of the chain are not timed one by one: it took longer than most of them. */
  @Bean
  static SecurityObservationSettings securityObservations() {
    return SecurityObservationSettings.noObservations();
  }

  /** The chain every request goes through; its rows are read from the top, the first that fits. */
  @Bean
  SecurityFilterChain securityFilterChain(
      HttpSecurity http,
      Tokens tokens,
      LastUse lastUse,
      Refusals refusals,
      RefusedRequests refused,
      JdbcClient jdbc,
      @Qualifier("requestMappingHandlerMapping") RequestMappingHandlerMapping mapping) {
    Permission anyone = Permission.of(Role.values());
    Permission admin = Permission.of(Role.ADMIN);
    Permission quality = Permission.of(Role.QUALITY, Role.ADMIN);
    Permission ownName = Permission.ofPerson(Role.QUALITY, Role.ADMIN);
    Permission asking = Permission.of(Role.READER, Role.QUALITY, Role.ADMIN);
    Permission posting = Permission.of(Role.STATION, Role.QUALITY);

    return http.authorizeHttpRequests(
            may ->
                may.dispatcherTypeMatchers(
                        DispatcherType.ERROR, DispatcherType.ASYNC, DispatcherType.INCLUDE)
                    .permitAll()
                    // Open to everybody
                    .requestMatchers(
                        reading(
                            "/actuator/health",
                            "/actuator/health/liveness",
                            "/actuator/health/readiness"))
                    .permitAll()
                    .requestMatchers(reading("/problems", "/problems/*"))
                    .permitAll()
                    .requestMatchers(reading("/openapi", "/openapi/*", "/openapi.yaml"))
                    .permitAll()
                    .requestMatchers(reading("/api", "/swagger-ui/**"))
                    .permitAll()
                    // Which methods an address answers
                    .requestMatchers(OPTIONS, "/**")
                    .access(anyone)
                    // The service itself
                    .requestMatchers("/actuator/**")
                    .access(admin)
                    .requestMatchers("/api/v1/tokens/**")
                    .access(admin)
                    .requestMatchers(reading("/api/v1/backup"))
                    .access(admin)
                    // Facts
                    .requestMatchers(
                        POST,
                        "/api/v1/readings",
                        "/api/v1/readings/bulk",
                        "/api/v1/instrument-checks",
                        "/api/v1/cures",
                        "/api/v1/cures/*/samples",
                        "/api/v1/cures/*/closing")
                    .access(posting)
                    // Questions too large for an address
                    .requestMatchers(POST, "/api/v1/limit-sets/preview")
                    .access(asking)
                    // What a person answers for by name
                    .requestMatchers(
                        POST,
                        "/api/v1/readings/*/amendments",
                        "/api/v1/characteristics/*/specifications/**",
                        "/api/v1/specifications/**",
                        "/api/v1/measuring-uncertainties/**",
                        "/api/v1/instruments/*/revisions",
                        "/api/v1/instrument-checks/*/voidings",
                        "/api/v1/items/*/corrections",
                        "/api/v1/limit-sets/**",
                        "/api/v1/kept-studies",
                        "/api/v1/signals/*/responses",
                        "/api/v1/compounds/**",
                        "/api/v1/cures/*/verdicts",
                        "/api/v1/cures/*/settlements",
                        "/api/v1/cure-schedules/*/revisions/**")
                    .access(ownName)
                    .requestMatchers(
                        POST,
                        "/api/v1/cure-schedules/*/dry-runs",
                        "/api/v1/measuring-studies",
                        "/api/v1/bias-studies",
                        "/api/v1/uncertainty-budgets",
                        "/api/v1/decision-risks")
                    .access(asking)
                    .requestMatchers(POST, "/api/v1/cure-schedules")
                    .access(quality)
                    .requestMatchers(PUT, "/api/v1/cure-schedules/*")
                    .access(quality)
                    // The plant and what is measured in it
                    .requestMatchers(POST, PLANT)
                    .access(quality)
                    .requestMatchers(PUT, PLANT)
                    .access(quality)
                    // What answers at no address is told so
                    .requestMatchers(request -> !answered(mapping, request))
                    .access(anyone)
                    // Reading
                    .requestMatchers(reading("/api/v1/audit"))
                    .access(quality)
                    .requestMatchers(reading("/api/v1/cures/judged-earlier"))
                    .access(asking)
                    .requestMatchers(reading("/api/v1/**"))
                    .access(new StationReads(jdbc))
                    // What is in no row above is denied
                    .anyRequest()
                    .denyAll())
        .addFilterBefore(
            new BearerFilter(tokens, lastUse, refusals, refused), ExceptionTranslationFilter.class)
        .exceptionHandling(
            handling -> handling.authenticationEntryPoint(refusals).accessDeniedHandler(refusals))
        .sessionManagement(
            session -> session.sessionCreationPolicy(SessionCreationPolicy.STATELESS))
        .headers(
            headers ->
                headers
                    .contentSecurityPolicy(policy -> policy.policyDirectives(OWN_CONTENT_ONLY))
                    .referrerPolicy(referrer -> referrer.policy(ReferrerPolicy.NO_REFERRER)))
        .csrf(AbstractHttpConfigurer::disable)
        .formLogin(AbstractHttpConfigurer::disable)
        .httpBasic(AbstractHttpConfigurer::disable)
        .logout(AbstractHttpConfigurer::disable)
        .requestCache(AbstractHttpConfigurer::disable)
        .build();
  }

  private static RequestMatcher reading(String... patterns) {
    return new OrRequestMatcher(
        Stream.of(patterns)
            .flatMap(pattern -> Stream.of(pathPattern(GET, pattern), pathPattern(HEAD, pattern)))
            .toArray(RequestMatcher[]::new));
  }

  /**
   * Whether a controller of any kind answers here. A method or form of body that it does not take
   * is told by the dispatcher.
   */
  private static boolean answered(
      RequestMappingHandlerMapping mapping, HttpServletRequest request) {
    try {
      return mapping.getHandler(request) != null;
    } catch (ServletException notThisWay) {
      return false;
    } catch (Exception unexpected) {
      throw new IllegalStateException("No handler could be looked up", unexpected);
    }
  }
}
