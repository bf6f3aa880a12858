package org.tarebook;

import org.springframework.context.annotation.Configuration;
import org.springframework.context.annotation.Profile;
import org.springframework.scheduling.annotation.EnableScheduling;

/** Work in the background goes on while the service serves; a command is alone. */
@EnableScheduling
@Profile("!" + CommandLine.PROFILE)
@Configuration(proxyBeanMethods = false)
class Scheduling {}
